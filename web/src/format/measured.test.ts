// SPDX-License-Identifier: Apache-2.0
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { decimalsFor, fixed, oddsPercent, percent, show, unitText, type Units } from './measured';

const table = readFileSync(
  new URL('../../../tests/data/shown_numbers.csv', import.meta.url),
  'utf8',
)
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => line.split(','));

describe('measured numbers', () => {
  it('are shown by the table that the program is held to', () => {
    expect(table.length).toBeGreaterThan(10);
    for (const [value, low, high, unit, system, ...shown] of table) {
      const m = {
        value: Number(value),
        low: Number(low),
        high: Number(high),
        level: 0.9,
        basis: 't',
        unit: unit ?? '',
      };
      const s = show(m, system as Units);
      expect([s.value, s.low, s.high, s.unit], `${String(value)} ${String(unit)}`).toEqual(shown);
    }
  });
  it('give digits by their doubt, between none and four', () => {
    expect(decimalsFor(900, 600, 1200)).toBe(0);
    expect(decimalsFor(0.5, 0.4999999, 0.5000001)).toBe(4);
    expect(decimalsFor(0, 0, 0)).toBe(0);
  });
  it('round exact halves to the even digit and leave no minus on zero', () => {
    expect([fixed(0.5, 0), fixed(1.5, 0), fixed(2.5, 0), fixed(-2.25, 1)]).toEqual([
      '0',
      '2',
      '2',
      '\u22122.2',
    ]);
    expect(fixed(-0.04, 1)).toBe('0.0');
    expect(fixed(0.3, 0)).toBe('0');
  });
  it('name their units for people', () => {
    expect([unitText('1'), unitText('cm2'), unitText('1/cm2')]).toEqual([
      '',
      'cm\u00b2',
      'per cm\u00b2',
    ]);
  });
  it('keep odds off 0 and 100 while they are neither', () => {
    expect([percent(0), percent(0.004), percent(0.27), percent(0.997), percent(1)]).toEqual([
      '0\u00a0%',
      '<1\u00a0%',
      '27\u00a0%',
      '>99\u00a0%',
      '100\u00a0%',
    ]);
  });
  it('never call odds from draws certain', () => {
    expect([oddsPercent(0), oddsPercent(0.5), oddsPercent(1)]).toEqual([
      '<1\u00a0%',
      '50\u00a0%',
      '>99\u00a0%',
    ]);
  });
});
