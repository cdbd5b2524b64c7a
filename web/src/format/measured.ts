// SPDX-License-Identifier: Apache-2.0
// Measured numbers as people read them: the same digits and units as src/units/format.h of the
// program. tests/data/shown_numbers.csv holds both to one table.
//
// The last digit shown is the decade of the interval's half width h, one finer where h begins with
// 1 or 2; 0 to 4 decimals; an exact number shows four significant digits. 1 in = 25.4 mm exactly.

export interface Known {
  value: number;
  low: number;
  high: number;
  level: number;
  unit: string;
  basis: string;
}
export interface Unknown {
  value: null;
  unit: string;
  reason: string;
}
export type Measured = Known | Unknown;
export type Units = 'metric' | 'us';

export interface Shown {
  value: string;
  low: string;
  high: string;
  unit: string;
}

const MM_PER_INCH = 25.4;
const INCH_DECIMALS = 2; // a rule reads no finer
const TO_US: Record<string, [unit: string, factor: number]> = {
  mm: ['in', 1 / MM_PER_INCH],
  cm2: ['in2', 100 / (MM_PER_INCH * MM_PER_INCH)],
  mm2: ['in2/1000', 1000 / (MM_PER_INCH * MM_PER_INCH)],
  '1/cm2': ['1/in2', (MM_PER_INCH * MM_PER_INCH) / 100],
  'px/mm': ['px/in', MM_PER_INCH],
};

export function isKnown(m: Measured): m is Known {
  return m.value !== null;
}

export function inUnits(m: Known, units: Units): Known {
  const to = units === 'us' ? TO_US[m.unit] : undefined;
  if (to === undefined) return m;
  const [unit, factor] = to;
  return { ...m, unit, value: m.value * factor, low: m.low * factor, high: m.high * factor };
}

function decadeOf(x: number): number {
  return Math.floor(Math.log10(x));
}

export function decimalsFor(value: number, low: number, high: number): number {
  const half = (high - low) / 2;
  let decimals = 0;
  if (half > 0) {
    const decade = decadeOf(half);
    decimals = -decade + (half < 3 * 10 ** decade ? 1 : 0);
  } else if (value !== 0) {
    decimals = 3 - decadeOf(Math.abs(value));
  }
  return Math.min(4, Math.max(0, decimals));
}

// Halves that a double holds exactly go to the even digit, as the program prints them; the
// language's own toFixed takes them away from zero. A double is such a half at d decimals if and
// only if it is an odd multiple of 1 / 2^(d+1).
export function fixed(x: number, decimals: number): string {
  const size = Math.abs(x);
  const tie = (size * 2 ** (decimals + 1)) % 2 === 1;
  const even = (2 * Math.round((size * 10 ** decimals) / 2)) / 10 ** decimals;
  const text = (tie ? even : size).toFixed(decimals);
  return x < 0 && /[1-9]/.test(text) ? `\u2212${text}` : text;
}

export function unitText(unit: string): string {
  if (unit === '1') return '';
  if (unit === 'in2/1000') return '1/1000 in\u00b2';
  const per = unit.startsWith('1/');
  return (per ? 'per ' : '') + unit.slice(per ? 2 : 0).replaceAll('2', '\u00b2');
}

export function show(m: Known, units: Units): Shown {
  const s = inUnits(m, units);
  const fine = decimalsFor(s.value, s.low, s.high);
  const decimals = s.unit === 'in' ? Math.min(fine, INCH_DECIMALS) : fine;
  return {
    value: fixed(s.value, decimals),
    low: fixed(s.low, decimals),
    high: fixed(s.high, decimals),
    unit: unitText(s.unit),
  };
}

// As percent(), but never certain: for odds that come from a finite number of draws.
export function oddsPercent(probability: number): string {
  return percent(Math.min(Math.max(probability, 1e-6), 1 - 1e-6));
}

// The whole percent of a probability, "<1 %" and ">99 %" at the ends.
export function percent(probability: number): string {
  if (probability > 0 && probability < 0.005) return '<1\u00a0%';
  if (probability < 1 && probability > 0.995) return '>99\u00a0%';
  return `${fixed(100 * probability, 0)}\u00a0%`;
}
