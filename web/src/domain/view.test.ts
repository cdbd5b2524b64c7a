// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import { fitted, MAX_SCALE, panned, photoFromFrame, viewOfBox, zoomedAt } from './view';

const photo = { width: 4000, height: 3000 };
const frame = { width: 390, height: 500 };

describe('a view', () => {
  it('first shows all of the photo, centred', () => {
    const v = fitted(photo, frame);
    expect(v.scale).toBeCloseTo(0.0975, 9);
    expect(v.x).toBeCloseTo(0, 9);
    expect(v.y).toBeCloseTo((500 - 292.5) / 2, 9);
  });
  it('keeps the photo point under the finger while zooming', () => {
    const start = zoomedAt(fitted(photo, frame), 4, 195, 250, photo, frame);
    const before = photoFromFrame(start, 120, 300);
    const after = photoFromFrame(zoomedAt(start, 1.7, 120, 300, photo, frame), 120, 300);
    expect(after[0]).toBeCloseTo(before[0], 6);
    expect(after[1]).toBeCloseTo(before[1], 6);
  });
  it('stops at all of it and at its largest scale', () => {
    const v = fitted(photo, frame);
    expect(zoomedAt(v, 0.1, 0, 0, photo, frame)).toEqual(v);
    expect(zoomedAt(v, 1e6, 0, 0, photo, frame).scale).toBe(MAX_SCALE);
  });
  it('never lets the frame look past the edge of a larger picture', () => {
    const v = zoomedAt(fitted(photo, frame), 10, 195, 250, photo, frame);
    const far = panned(v, -1e6, -1e6, photo, frame);
    const corner = photoFromFrame(far, frame.width, frame.height);
    expect(corner[0]).toBeCloseTo(4000, 6);
    expect(corner[1]).toBeCloseTo(3000, 6);
  });
  it('can show a box with a margin', () => {
    const v = viewOfBox([1000, 1000, 2000, 1500], photo, frame);
    const [left] = photoFromFrame(v, 0, 0);
    const [right] = photoFromFrame(v, frame.width, 0);
    expect(left).toBeCloseTo(940, 6);
    expect(right).toBeCloseTo(2060, 6);
  });
});
