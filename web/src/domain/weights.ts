// SPDX-License-Identifier: Apache-2.0
// The weights that a piece had, from its events: what was weighed and what a trimming left; void
// entries do not count. Times in seconds since 1970, as plots take them. Pure.
import type { LedgerEvent } from '../api/types';

export interface WeightSeries {
  seconds: number[];
  grams: number[];
}

const WITH_MASS = new Set(['received', 'weighed', 'trimmed']);

export function weightsOf(events: readonly LedgerEvent[]): WeightSeries {
  const points = events
    .filter((event) => event.voided_by === null && WITH_MASS.has(event.kind))
    .map((event) => ({
      at: Date.parse(event.happened_at) / 1000,
      grams: (event.data as { mass_g?: unknown }).mass_g,
    }))
    .filter(
      (point): point is { at: number; grams: number } =>
        typeof point.grams === 'number' && Number.isFinite(point.at),
    )
    .sort((a, b) => a.at - b.at);
  return { seconds: points.map((p) => p.at), grams: points.map((p) => p.grams) };
}
