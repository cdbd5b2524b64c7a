// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import {
  alongRing,
  boundsOf,
  densified,
  distance,
  handlesOf,
  moveHandle,
  pathOf,
  ringArea,
  type Point,
} from './ring';

const square: Point[] = [
  [10, 10],
  [110, 10],
  [110, 110],
  [10, 110],
];
const circle: Point[] = Array.from({ length: 360 }, (_, i) => [
  200 + 100 * Math.cos((i * Math.PI) / 180),
  200 + 100 * Math.sin((i * Math.PI) / 180),
]);

describe('a ring', () => {
  it('knows its length and area', () => {
    expect(alongRing(square).at(-1)).toBe(400);
    expect(ringArea(square)).toBe(10_000);
    expect(ringArea(circle)).toBeCloseTo(Math.PI * 100 * 100, -1);
  });
  it('keeps its shape when points are added', () => {
    const fine = densified(square, 7);
    expect(fine.length).toBe(60);
    expect(ringArea(fine)).toBeCloseTo(10_000, 6);
    fine.forEach((p, i) => {
      expect(distance(p, fine[(i + 1) % fine.length] ?? p)).toBeLessThanOrEqual(7 + 1e-9);
    });
  });
  it('spreads its handles evenly, and never has fewer than four', () => {
    const handles = handlesOf(circle, 50);
    expect(handles.length).toBe(13);
    const steps = handles.map((h, k) => (handles[k + 1] ?? 360) - h);
    expect(Math.max(...steps) - Math.min(...steps)).toBeLessThanOrEqual(1);
    expect(handlesOf(square, 1e9)).toEqual([0, 1, 2, 3]);
  });
});

describe('moving a handle', () => {
  const handles = handlesOf(circle, 50);
  const moved = moveHandle(circle, handles, 3, 20, -8, 400, 400);
  it('moves the handle all the way and its neighbours not at all', () => {
    const at = (ring: Point[], k: number) => ring[handles[k] ?? 0] ?? [0, 0];
    expect(at(moved, 3)[0] - at(circle, 3)[0]).toBeCloseTo(20, 9);
    expect(at(moved, 3)[1] - at(circle, 3)[1]).toBeCloseTo(-8, 9);
    expect(at(moved, 2)).toEqual(at(circle, 2));
    expect(at(moved, 4)).toEqual(at(circle, 4));
  });
  it('leaves the far side alone and keeps every point', () => {
    expect(moved.length).toBe(circle.length);
    const changed = moved.filter((p, i) => p !== circle[i]).length;
    expect(changed).toBeGreaterThan(20);
    expect(changed).toBeLessThan(60);
  });
  it('fades along the ring without a step', () => {
    moved.forEach((p, i) => {
      const next = moved[(i + 1) % moved.length] ?? p;
      expect(distance(p, next)).toBeLessThan(4);
    });
  });
  it('works across the first point', () => {
    const around = moveHandle(circle, handles, 0, 10, 0, 400, 400);
    expect(around[0]?.[0]).toBeCloseTo(310, 9);
    expect(around[359]?.[0] ?? 0).toBeGreaterThan(circle[359]?.[0] ?? 0);
    expect(around[1]?.[0] ?? 0).toBeGreaterThan(circle[1]?.[0] ?? 0);
  });
  it('stays inside the photo', () => {
    const out = moveHandle(circle, handles, 0, 500, 0, 400, 400);
    expect(Math.max(...out.map((p) => p[0]))).toBe(400);
  });
});

describe('an outline', () => {
  it('becomes a closed path, and has bounds only when it has points', () => {
    expect(pathOf([square])).toBe('M10 10L110 10L110 110L10 110Z');
    expect(boundsOf([square])).toEqual([10, 10, 110, 110]);
    expect(boundsOf([])).toBeNull();
  });
});
