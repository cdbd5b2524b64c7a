// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import type { LedgerEvent } from '../api/types';
import { weightsOf } from './weights';

const event = (kind: string, at: string, data: object, voided = false) =>
  ({ kind, happened_at: at, data, voided_by: voided ? 'x' : null }) as unknown as LedgerEvent;

describe('weights over time', () => {
  it('come from what was weighed, in order, without void entries', () => {
    const series = weightsOf([
      event('weighed', '2026-03-10T08:00:00Z', { mass_g: 5900 }),
      event('received', '2026-03-01T08:00:00Z', { mass_g: 6240 }),
      event('moved', '2026-03-02T08:00:00Z', { location: 'cold room 1' }),
      event('weighed', '2026-03-05T08:00:00Z', { mass_g: 60 }, true),
      event('weighed', '2026-03-06T08:00:00Z', {}),
    ]);
    expect(series.grams).toEqual([6240, 5900]);
    expect((series.seconds[1] ?? 0) - (series.seconds[0] ?? 0)).toBe(9 * 86_400);
  });
});
