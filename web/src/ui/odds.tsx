// SPDX-License-Identifier: Apache-2.0
// Odds as bars, one a step, in the scale's own order where it has one, so that the eye sees how far
// they spread and not one step alone.
import { percent } from '../format/measured';

export interface Odd {
  words: string;
  odds: number;
}

export function OddsBars({ items }: { items: readonly Odd[] }) {
  return (
    <ul class="odds">
      {items.map((item) => (
        <li key={item.words}>
          <span class="step">{item.words}</span>
          <span class="rail" aria-hidden="true">
            <span style={{ width: `${Math.round(item.odds * 1000) / 10}%` }} />
          </span>
          <span class="number">{percent(item.odds)}</span>
        </li>
      ))}
    </ul>
  );
}
