// SPDX-License-Identifier: Apache-2.0
// Moving an outline by hand without losing its fine detail.
//
// A measured outline has hundreds of points; a thumb can move a few dozen. So a ring keeps all its
// points and shows a few of them as handles, spread evenly along it. Moving a handle by d moves
// each point between it and its two neighbours by d times its closeness (1 at the handle, 0 at the
// neighbour, linear along the ring); what lies beyond stays as it was. Pixels of the upright
// photo, the first pixel's centre at 0.5, 0.5. Pure functions.

export type Point = readonly [x: number, y: number];
export type Ring = readonly Point[];
export type Outline = readonly Ring[];

export function distance(a: Point, b: Point): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

// Length along the ring from its first point to each point, and the whole way round at the end.
export function alongRing(ring: Ring): number[] {
  const along = [0];
  ring.forEach((point, i) => {
    const next = ring[(i + 1) % ring.length] ?? point;
    along.push((along[i] ?? 0) + distance(point, next));
  });
  return along;
}

// Indices of points near every `spacing` px along the ring; at least 4 (or all of a small ring).
export function handlesOf(ring: Ring, spacing: number): number[] {
  const along = alongRing(ring);
  const length = along[ring.length] ?? 0;
  const count = Math.min(ring.length, Math.max(4, Math.round(length / spacing)));
  const handles: number[] = [];
  let at = 0;
  for (let k = 0; k < count; k++) {
    const target = (k * length) / count;
    while (at < ring.length && (along[at] ?? 0) < target) at++;
    if (at < ring.length && handles.at(-1) !== at) handles.push(at);
  }
  return handles;
}

// A ring with points added so that no two are further apart than `step` px: a ring of few points
// (drawn by hand) then bends as softly as a measured one.
export function densified(ring: Ring, step: number): Point[] {
  const out: Point[] = [];
  ring.forEach((a, i) => {
    const b = ring[(i + 1) % ring.length] ?? a;
    const parts = Math.max(1, Math.ceil(distance(a, b) / step));
    for (let k = 0; k < parts; k++) {
      out.push([a[0] + ((b[0] - a[0]) * k) / parts, a[1] + ((b[1] - a[1]) * k) / parts]);
    }
  });
  return out;
}

// The ring after handle number `which` of `handles` moved by (dx, dy), kept inside the photo.
export function moveHandle(
  ring: Ring,
  handles: readonly number[],
  which: number,
  dx: number,
  dy: number,
  width: number,
  height: number,
): Point[] {
  const along = alongRing(ring);
  const length = along[ring.length] ?? 0;
  const n = handles.length;
  const position = (handle: number) => along[handles[(handle + n) % n] ?? 0] ?? 0;
  const centre = position(which);
  const way = (from: number, to: number) => (to - from + length) % length;
  const ahead = n > 1 ? way(centre, position(which + 1)) : length / 2;
  const behind = n > 1 ? way(position(which - 1), centre) : length / 2;
  return ring.map((point, i) => {
    const forward = way(centre, along[i] ?? 0);
    const back = length - forward;
    const near = i === handles[which];
    const weight = near
      ? 1
      : Math.max(ahead > 0 ? 1 - forward / ahead : 0, behind > 0 ? 1 - back / behind : 0, 0);
    if (weight === 0) return point;
    return [
      Math.min(width, Math.max(0, point[0] + weight * dx)),
      Math.min(height, Math.max(0, point[1] + weight * dy)),
    ];
  });
}

// Square pixels inside an outline under the even-odd rule of simple rings: outer less holes, by
// the shoelace formula. Used only to say how much an edit changed, never as a measurement.
export function ringArea(ring: Ring): number {
  let twice = 0;
  ring.forEach((a, i) => {
    const b = ring[(i + 1) % ring.length] ?? a;
    twice += a[0] * b[1] - b[0] * a[1];
  });
  return Math.abs(twice) / 2;
}

// SVG path of an outline; fill-rule evenodd belongs to it.
export function pathOf(outline: Outline): string {
  const round = (x: number) => Math.round(x * 10) / 10;
  return outline
    .map((ring) => `M${ring.map(([x, y]) => `${round(x)} ${round(y)}`).join('L')}Z`)
    .join('');
}

// Corners that hold an outline: left, top, right, bottom; null where it has no points.
export function boundsOf(outline: Outline): [number, number, number, number] | null {
  const points = outline.flat();
  if (points.length === 0) return null;
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}
