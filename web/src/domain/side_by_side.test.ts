// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import { barMm, paneOf, sharedFit, viewIn } from './side_by_side';

const frame = { width: 300, height: 300 };

describe('two faces side by side', () => {
  const near = paneOf([0, 0, 2000, 1000], 20); // 100 x 50 mm
  const far = paneOf([500, 500, 1100, 900], 5); // 120 x 80 mm
  it('show a millimetre in the same length', () => {
    const shared = sharedFit([near, far], frame);
    const a = viewIn(near, shared, frame);
    const b = viewIn(far, shared, frame);
    expect(a.scale * 20).toBeCloseTo(b.scale * 5, 12);
    expect(far.size[0] * shared.zoom).toBeLessThanOrEqual(300);
  });
  it('keep both centres in the middle, and look at the same place when moved', () => {
    const moved = { ...sharedFit([near, far], frame), dx: 10, dy: -4 };
    const v = viewIn(far, moved, frame);
    expect(v.scale * (far.centre[0] + 50) + v.x).toBeCloseTo(150, 9);
    expect(v.scale * (far.centre[1] - 20) + v.y).toBeCloseTo(150, 9);
  });
  it('fall back to the width of the face without a scale', () => {
    const pane = paneOf([0, 0, 500, 300], null);
    expect(pane.size[0]).toBe(100);
  });
  it('have a bar of a round length that fits', () => {
    expect(barMm(2.5, 100)).toBe(20);
    expect(barMm(1, 100)).toBe(100);
    expect(barMm(30, 100)).toBe(2);
  });
});
