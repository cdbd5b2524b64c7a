// SPDX-License-Identifier: Apache-2.0
// Weight over time, from two weighings on. The plot library is loaded only then.
import { useEffect, useRef } from 'preact/hooks';
import type { LedgerEvent } from '../../api/types';
import { useUnits } from '../../app/session';
import { weightsOf } from '../../domain/weights';
import { G_PER_LB, massUnit } from '../../format/mass';
import { t } from '../../text';

const HEIGHT_PX = 200;

export function WeightPlot({ events }: { events: readonly LedgerEvent[] }) {
  const units = useUnits();
  const box = useRef<HTMLDivElement>(null);
  const { seconds, grams } = weightsOf(events);
  const enough = grams.length >= 2;
  useEffect(() => {
    const element = box.current;
    if (!enough || element === null) return;
    let on = true;
    let stop: (() => void) | null = null;
    const per = units === 'us' ? G_PER_LB : 1000;
    void import('./plot').then(({ drawSeries }) => {
      if (!on) return;
      stop = drawSeries(element, {
        seconds,
        values: grams.map((g) => g / per),
        name: t.ledger.mass,
        height: HEIGHT_PX,
      });
    });
    return () => {
      on = false;
      stop?.();
    };
  }, [events, units]);
  if (!enough) return null;
  return (
    <section class="sheet">
      <h2>
        {t.ledger.weights} <span class="soft">({massUnit(units)})</span>
      </h2>
      <div ref={box} class="plot" aria-hidden="true" />
    </section>
  );
}
