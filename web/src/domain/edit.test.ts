// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import type { Judged } from '../api/types';
import { editsOf, isTouched, startEdit, withRing } from './edit';

const box = (x: number, y: number, size: number) => [
  [x, y],
  [x + size, y],
  [x + size, y + size],
  [x, y + size],
];
const report = {
  width_px: 1000,
  height_px: 800,
  faces: [
    {
      outline_px: [box(100, 100, 400)],
      muscles: [
        { name: 'longissimus', outline_px: [box(150, 150, 200), box(200, 200, 20)] },
        { name: 'spinalis', outline_px: [box(360, 150, 50)] },
      ],
    },
    { outline_px: [box(600, 100, 300)], muscles: [] },
  ],
} as unknown as Judged;

describe('an edit', () => {
  const start = startEdit(report);
  const at = (face: number, muscle: number | null, ring: number) =>
    start.rings.findIndex(
      ({ target }) => target.face === face && target.muscle === muscle && target.ring === ring,
    );
  const moved = [
    [0.12345, 1],
    [50, 1],
    [50, 60],
  ] as const;

  it('holds every ring, none of them moved', () => {
    expect(start.rings.length).toBe(5);
    expect(isTouched(start)).toBe(false);
    expect(editsOf(start, report)).toEqual({ faces: [{}, {}] });
  });
  it('sends a moved muscle with its siblings as they were measured, and no face outline', () => {
    const edits = editsOf(withRing(start, at(0, 0, 1), moved), report);
    expect(edits.faces[0]?.outline_px).toBeUndefined();
    expect(edits.faces[1]).toEqual({});
    expect(edits.faces[0]?.muscles).toEqual([
      {
        name: 'longissimus',
        outline_px: [
          box(150, 150, 200),
          [
            [0.123, 1],
            [50, 1],
            [50, 60],
          ],
        ],
      },
      { name: 'spinalis', outline_px: [box(360, 150, 50)] },
    ]);
  });
  it('sends the outlines of all faces when one of them moved', () => {
    const edits = editsOf(withRing(start, at(1, null, 0), moved), report);
    expect(edits.faces[0]).toEqual({ outline_px: [box(100, 100, 400)] });
    expect(edits.faces[1]?.outline_px?.[0]?.length).toBe(3);
  });
  it('leaves the edit before it as it was', () => {
    withRing(start, 0, moved);
    expect(isTouched(start)).toBe(false);
  });
});
