// SPDX-License-Identifier: Apache-2.0
// Outlines being put right by hand: every ring of a report, which of them were moved, and the
// request that measures again (docs/format/edits.md). The outline of faces is given for all faces
// or for none; a face's muscles are given together or not at all. Pure functions.
import type { Edits, Judged } from '../api/types';
import { outlineOf } from './report';
import { densified, type Point, type Ring } from './ring';

export interface Target {
  face: number;
  muscle: number | null; // null: the face's own outline
  ring: number;
}
export interface EditRing {
  target: Target;
  points: Ring;
  touched: boolean;
}
export interface Edit {
  rings: EditRing[];
}

const STEP_SHARE = 1 / 400; // of the photo's longer side: points of a ring drawn with few

export function startEdit(report: Judged): Edit {
  const longer = Math.max(report.width_px ?? 0, report.height_px ?? 0);
  const step = Math.max(4, longer * STEP_SHARE);
  const rings: EditRing[] = [];
  report.faces.forEach((face, f) => {
    const take = (outline: number[][][], muscle: number | null) => {
      outlineOf(outline).forEach((points, ring) => {
        rings.push({
          target: { face: f, muscle, ring },
          points: densified(points, step),
          touched: false,
        });
      });
    };
    take(face.outline_px, null);
    face.muscles.forEach((muscle, m) => {
      take(muscle.outline_px, m);
    });
  });
  return { rings };
}

export function withRing(edit: Edit, which: number, points: Ring): Edit {
  return {
    rings: edit.rings.map((ring, i) => (i === which ? { ...ring, points, touched: true } : ring)),
  };
}

export function isTouched(edit: Edit): boolean {
  return edit.rings.some((ring) => ring.touched);
}

function numbers(points: Ring): number[][] {
  return points.map(([x, y]: Point) => [Math.round(x * 1000) / 1000, Math.round(y * 1000) / 1000]);
}

export function editsOf(edit: Edit, report: Judged): Edits {
  const touched = (test: (target: Target) => boolean) =>
    edit.rings.some((ring) => ring.touched && test(ring.target));
  // what was not moved goes along exactly as it was measured
  const outline = (face: number, muscle: number | null, measured: number[][][]): number[][][] =>
    measured.map((points, r) => {
      const ring = edit.rings.find(
        ({ target }) => target.face === face && target.muscle === muscle && target.ring === r,
      );
      return ring?.touched === true ? numbers(ring.points) : points;
    });
  const anyFace = touched((target) => target.muscle === null);
  return {
    faces: report.faces.map((face, f) => ({
      ...(anyFace ? { outline_px: outline(f, null, face.outline_px) } : {}),
      ...(touched((target) => target.face === f && target.muscle !== null)
        ? {
            muscles: face.muscles.map((muscle, m) => ({
              name: muscle.name,
              outline_px: outline(f, m, muscle.outline_px),
            })),
          }
        : {}),
    })),
  };
}
