// SPDX-License-Identifier: Apache-2.0
import type { ComponentChildren } from 'preact';
import type { JudgedFace, Muscle } from '../../api/types';
import { useUnits } from '../../app/session';
import { eyeOf } from '../../domain/report';
import { fixed, type Measured } from '../../format/measured';
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

function Group(props: { title: string; open?: boolean; children: ComponentChildren }) {
  return (
    <details class="group" open={props.open}>
      <summary>
        <h3>{props.title}</h3>
      </summary>
      {props.children}
    </details>
  );
}

function MuscleGroup({ muscle, open }: { muscle: Muscle; open: boolean }) {
  return (
    <Group title={t.face.muscle[muscle.name]} open={open}>
      <Rows
        rows={[
          ['muscle_marbling', muscle.marbling_pct],
          ['muscle_area', muscle.area],
          ['flecks_per_cm2', muscle.flecks_per_cm2],
          ['fleck_p50', muscle.fleck_mm2.p50],
          ['fleck_p90', muscle.fleck_mm2.p90],
          ['coarseness', muscle.coarseness],
          ['evenness', muscle.evenness],
        ]}
      />
    </Group>
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
      {eye === null ? null : <MuscleGroup muscle={eye} open />}
      <Group title={t.face.groups.whole} open>
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
          <p class="small soft">{t.face.unreadable(fixed(unreadable, unreadable < 10 ? 1 : 0))}</p>
        )}
      </Group>
      {others.map((muscle, i) => (
        <MuscleGroup key={`${muscle.name}${i}`} muscle={muscle} open={false} />
      ))}
      <Group title={t.face.groups.cover}>
        <Rows
          rows={[
            ['cover_mean', face.cover_mm.mean],
            ['cover_at_three_quarters', face.cover_mm.at_three_quarters],
          ]}
        />
        <CoverProfile cover={face.cover_mm} />
      </Group>
      <Group title={t.face.groups.colour}>
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
      </Group>
    </section>
  );
}
