// SPDX-License-Identifier: Apache-2.0
// Masses: grams inside, kilograms or pounds on the page. 1 lb = 453.59237 g exactly (international
// yard and pound agreement, 1959). A mass that a scale gave has no interval of its own; it shows
// the scale's gram, or a hundredth of a pound.
import { fixed, type Units } from './measured';

export const G_PER_LB = 453.59237;

export function massUnit(units: Units): string {
  return units === 'us' ? 'lb' : 'kg';
}

export function mass(grams: number, units: Units): string {
  if (units === 'us') return `${fixed(grams / G_PER_LB, 2)}\u00a0lb`;
  return Math.abs(grams) < 1000 ? `${fixed(grams, 0)}\u00a0g` : `${fixed(grams / 1000, 3)}\u00a0kg`;
}

export function signedMass(grams: number, units: Units): string {
  const text = mass(grams, units);
  return grams > 0 ? `+${text}` : text;
}

// What was typed, in the unit of massUnit(), as grams to the milligram (the ledger's
// finest); null where it is no mass.
export function gramsFromText(text: string, units: Units): number | null {
  const x = numberFromText(text);
  if (x === null || x < 0) return null;
  return Math.round((units === 'us' ? x * G_PER_LB : x * 1000) * 1000) / 1000;
}

// A decimal number with a point or a comma; null for anything else.
export function numberFromText(text: string): number | null {
  const plain = text.trim().replace(',', '.');
  if (!/^-?(\d+\.?\d*|\.\d+)$/.test(plain)) return null;
  return Number(plain);
}
