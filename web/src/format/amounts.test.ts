// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import { G_PER_LB, gramsFromText, mass, numberFromText, signedMass } from './mass';
import { minorDigits, money, moneyFromText } from './money';
import { wholeDaysBetween } from './time';

describe('masses', () => {
  it('show grams under a kilogram, kilograms from there on, pounds in US units', () => {
    expect(mass(999, 'metric')).toBe('999\u00a0g');
    expect(mass(6240, 'metric')).toBe('6.240\u00a0kg');
    expect(mass(G_PER_LB * 13.754, 'us')).toBe('13.75\u00a0lb');
    expect(signedMass(40, 'metric')).toBe('+40\u00a0g');
    expect(signedMass(-40, 'metric')).toBe('\u221240\u00a0g');
  });
  it('are read with a point or a comma and refused otherwise', () => {
    expect(gramsFromText('6,24', 'metric')).toBeCloseTo(6240, 9);
    expect(gramsFromText('1', 'us')).toBe(453.592);
    for (const bad of ['', 'x', '1e3', '-1', '1.2.3', '1 000', 'NaN', 'Infinity']) {
      expect(gramsFromText(bad, 'metric'), bad).toBeNull();
    }
    expect(numberFromText(' .5 ')).toBe(0.5);
  });
});

describe('money', () => {
  it('is whole minor units of its currency', () => {
    expect(minorDigits('JPY')).toBe(0);
    expect(minorDigits('EUR')).toBe(2);
    expect(moneyFromText('19.99', 'EUR')).toEqual({ minor: 1999, currency: 'EUR' });
    expect(moneyFromText('1.005', 'EUR')).toBeNull();
    expect(moneyFromText('12.5', 'JPY')).toBeNull();
    expect(money({ minor: 1999, currency: 'EUR' }, 'en')).toBe('€19.99');
  });
  it('survives a currency that the browser does not know', () => {
    expect(money({ minor: 5, currency: '???' }, 'en')).toBe('5 ???');
  });
});

describe('days', () => {
  it('are whole ones', () => {
    expect(wholeDaysBetween('2026-03-01T12:00:00Z', '2026-03-29T11:59:59Z')).toBe(27);
  });
});
