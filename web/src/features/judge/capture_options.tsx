// SPDX-License-Identifier: Apache-2.0
// What the person at the block knows and the photo cannot show. Kept while the page is open, since
// the next steak is often from the same piece.
import type { JudgeOptions } from '../../api/types';
import { useUnits } from '../../app/session';
import { numberFromText } from '../../format/mass';
import type { Units } from '../../format/measured';
import { t } from '../../text';
import { Choice, Field } from '../../ui/field';

export interface KnownFacts {
  framing: 'face' | 'crop';
  thickness: string; // mm or inches, as typed
  bloom: string; // minutes
}

export const emptyKnown: KnownFacts = { framing: 'face', thickness: '', bloom: '' };

const MM_PER_INCH = 25.4;
const THICKNESS_MM = { low: 0.1, high: 500 }; // what the API takes
const BLOOM_MIN = { low: 0, high: 100_000 };

function within(
  text: string,
  factor: number,
  range: { low: number; high: number },
): number | null | 'bad' {
  if (text.trim() === '') return null;
  const x = numberFromText(text);
  if (x === null) return 'bad';
  const value = x * factor;
  return value < range.low || value > range.high ? 'bad' : value;
}

// Null where something typed cannot be used.
export function optionsFrom(known: KnownFacts, units: Units): JudgeOptions | null {
  const thickness = within(known.thickness, units === 'us' ? MM_PER_INCH : 1, THICKNESS_MM);
  const bloom = within(known.bloom, 1, BLOOM_MIN);
  if (thickness === 'bad' || bloom === 'bad') return null;
  return {
    framing: known.framing,
    ...(thickness === null ? {} : { thickness_mm: thickness }),
    ...(bloom === null ? {} : { bloom_min: bloom }),
  };
}

export function CaptureOptions(props: { known: KnownFacts; onKnown: (known: KnownFacts) => void }) {
  const { known, onKnown } = props;
  const units = useUnits();
  const wrong = (part: Partial<KnownFacts>) =>
    optionsFrom({ ...emptyKnown, ...part }, units) === null ? t.judge.badNumber : undefined;
  return (
    <section class="sheet form">
      <h2>{t.judge.options}</h2>
      <Choice
        legend={t.judge.framing}
        value={known.framing}
        options={[
          ['face', t.judge.framingFace],
          ['crop', t.judge.framingCrop],
        ]}
        onValue={(framing) => {
          onKnown({ ...known, framing });
        }}
      />
      <Field
        label={t.judge.thickness}
        hint={t.judge.thicknessHint}
        unit={units === 'us' ? 'in' : 'mm'}
        mode="decimal"
        value={known.thickness}
        wrong={wrong({ thickness: known.thickness })}
        onValue={(thickness) => {
          onKnown({ ...known, thickness });
        }}
      />
      <Field
        label={t.judge.bloom}
        hint={t.judge.bloomHint}
        mode="decimal"
        value={known.bloom}
        wrong={wrong({ bloom: known.bloom })}
        onValue={(bloom) => {
          onKnown({ ...known, bloom });
        }}
      />
    </section>
  );
}
