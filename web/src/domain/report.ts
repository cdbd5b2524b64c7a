// SPDX-License-Identifier: Apache-2.0
// Reading a judged face: which numbers stand where, odds in the order of their scale. Pure.
import type { Judged, JudgedFace, Muscle, Report } from '../api/types';
import type { Outline } from './ring';

export function isJudged(report: Report): report is Judged {
  return 'faces' in report;
}

// The muscle that stands for the face: longissimus, else gluteus medius, else none.
export function eyeOf(face: JudgedFace): Muscle | null {
  const named = (name: Muscle['name']) => face.muscles.find((muscle) => muscle.name === name);
  return named('longissimus') ?? named('gluteus_medius') ?? null;
}

export function outlineOf(points: number[][][]): Outline {
  return points.map((ring) => ring.map(([x = 0, y = 0]) => [x, y] as const));
}

// Middle of the largest ring's points, where a name is written.
export function middleOf(outline: Outline): [number, number] | null {
  const ring = [...outline].sort((a, b) => b.length - a.length)[0];
  if (ring === undefined || ring.length === 0) return null;
  const sum = ring.reduce<[number, number]>(([x, y], p) => [x + p[0], y + p[1]], [0, 0]);
  return [sum[0] / ring.length, sum[1] / ring.length];
}

export interface OddsTable {
  key: string; // of the scale
  items: { step: string; odds: number }[];
  basis: string;
  reason: string;
}

// Scales whose steps have an order of their own, best or first at the top.
const ORDER: Record<string, readonly string[]> = {
  us: ['prime', 'choice', 'select', 'standard', 'commercial', 'utility', 'cutter', 'canner'],
  marbling_degree: [
    'abundant',
    'moderately_abundant',
    'slightly_abundant',
    'moderate',
    'modest',
    'small',
    'slight',
    'traces',
    'practically_devoid',
  ],
};
const PART = ['+', '0', '-'];
const SHOWN_FROM = 0.005; // a step below half a percent is left out

function rank(key: string, step: string): number {
  const scale = ORDER[key === 'us_sub' ? 'us' : key];
  if (scale === undefined) return /^\d+$/.test(step) ? Number(step) : 0;
  const part = PART.indexOf(step.slice(-1));
  const whole = scale.indexOf(part < 0 ? step : step.slice(0, -1));
  return (whole < 0 ? scale.length : whole) * 4 + Math.max(0, part);
}

function table(key: string, odds: Record<string, number>, basis = '', reason = ''): OddsTable {
  const items = Object.entries(odds)
    .map(([step, chance]) => ({ step, odds: chance }))
    .filter((item) => item.odds >= SHOWN_FROM);
  const ordered =
    ORDER[key === 'us_sub' ? 'us' : key] !== undefined || items.every((i) => /^\d+$/.test(i.step));
  items.sort((a, b) => (ordered ? rank(key, a.step) - rank(key, b.step) : b.odds - a.odds));
  return { key, items, basis, reason };
}

// Where a scale stands on the page; one that is not listed comes last.
const PLACES = ['us', 'japan_bms', 'japan', 'us_sub', 'us_yield', 'japan_yield'];

function place(key: string): number {
  const at = PLACES.indexOf(key);
  return at < 0 ? PLACES.length : at;
}

export function oddsOf(face: JudgedFace): OddsTable[] {
  const tables: OddsTable[] = [];
  const degree = face.marbling_degree;
  if (degree !== undefined) {
    tables.push(table('marbling_degree', degree.odds, degree.basis, degree.reason));
  }
  const grades = Object.entries(face.grade_odds ?? {});
  grades.sort(([a], [b]) => place(a) - place(b));
  for (const [key, odds] of grades) {
    const note = face.grade_notes?.[key];
    tables.push(table(key, odds, note?.basis, note?.reason));
  }
  const rib = face.rib_position;
  if (rib !== undefined) tables.push(table('rib_position', rib.odds, rib.basis, rib.reason));
  return tables;
}
