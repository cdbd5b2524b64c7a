// SPDX-License-Identifier: Apache-2.0
import type { JudgedFace, Muscle } from '../../api/types';
import { useUnits } from '../../app/session';
import { eyeOf } from '../../domain/report';
import type { Measured } from '../../format/measured';
import { t } from '../../text';
import { Quantity } from '../../ui/quantity';
import { CoverProfile } from './cover_profile';

type Key = keyof typeof t.face.quantity;

function Rows({ rows }: { rows: readonly (readonly [Key, Measured | undefined])[] }) {
  const units = useUnits();
  const plain = t.face.plain as Record<string, string>;
  return (
    <div>
      {rows.map(([key, m]) =>
        m === undefined ? null : (
          <Quantity key={key} name={t.face.quantity[key]} plain={plain[key]} m={m} units={units} />
        ),
      )}
    </div>
  );
}

function MuscleRows({ muscle, all }: { muscle: Muscle; all: boolean }) {
  const short = [
    ['muscle_marbling', muscle.marbling_pct],
    ['muscle_area', muscle.area],
  ] as const;
  const long = [
    ['flecks_per_cm2', muscle.flecks_per_cm2],
    ['fleck_p50', muscle.fleck_mm2.p50],
    ['fleck_p90', muscle.fleck_mm2.p90],
    ['coarseness', muscle.coarseness],
    ['evenness', muscle.evenness],
  ] as const;
  return (
    <section>
      <h3>{t.face.muscle[muscle.name]}</h3>
      <Rows rows={all ? [...short, ...long] : short} />
    </section>
  );
}

export function Numbers({ face }: { face: JudgedFace }) {
  const eye = eyeOf(face);
  const others = face.muscles.filter((muscle) => muscle !== eye);
  const unreadable = face.unreadable_pct ?? 0;
  return (
    <section class="sheet">
      <h2>{t.face.numbers}</h2>
      <p class="soft small">{t.face.tap}</p>
      {eye === null ? null : <MuscleRows muscle={eye} all />}
      {others.map((muscle, i) => (
        <MuscleRows key={`${muscle.name}${i}`} muscle={muscle} all={false} />
      ))}
      <section>
        <h3>{t.face.groups.whole}</h3>
        <Rows
          rows={[
            ['marbling_pct', face.marbling_pct],
            ['imf_pct', face.imf_pct],
            ['fat_share_pct', face.fat_share_pct],
            ['area', face.area],
            ['lean_area', face.lean_area],
          ]}
        />
        {unreadable < 0.05 ? null : (
          <p class="small soft">{t.face.unreadable(unreadable.toFixed(unreadable < 10 ? 1 : 0))}</p>
        )}
      </section>
      <section>
        <h3>{t.face.groups.cover}</h3>
        <Rows
          rows={[
            ['cover_mean', face.cover_mm.mean],
            ['cover_at_three_quarters', face.cover_mm.at_three_quarters],
          ]}
        />
        <CoverProfile cover={face.cover_mm} />
      </section>
      <section>
        <h3>{t.face.groups.colour}</h3>
        <Rows
          rows={[
            ['lean_L', face.lean_colour.L],
            ['lean_a', face.lean_colour.a],
            ['lean_b', face.lean_colour.b],
            ['fat_L', face.fat_colour.L],
            ['fat_a', face.fat_colour.a],
            ['fat_b', face.fat_colour.b],
          ]}
        />
      </section>
    </section>
  );
}
