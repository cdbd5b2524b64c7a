// SPDX-License-Identifier: Apache-2.0
// Money: whole minor units with their currency (ISO 4217). How many decimals a currency has comes
// from the browser's own table.
import { numberFromText } from './mass';

export interface Money {
  minor: number;
  currency: string;
}

export function minorDigits(currency: string): number {
  try {
    const digits = new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions();
    return digits.maximumFractionDigits ?? 2;
  } catch {
    return 2;
  }
}

export function money(m: Money, language: string): string {
  try {
    return new Intl.NumberFormat(language, { style: 'currency', currency: m.currency }).format(
      m.minor / 10 ** minorDigits(m.currency),
    );
  } catch {
    return `${m.minor} ${m.currency}`;
  }
}

// Sums of several currencies, never added up.
export function moneys(list: readonly Money[], language: string): string {
  return list.map((m) => money(m, language)).join(' + ');
}

// What was typed as whole minor units; null where it is no amount or finer than the currency.
export function moneyFromText(text: string, currency: string): Money | null {
  const x = numberFromText(text);
  if (x === null || x < 0) return null;
  const minor = x * 10 ** minorDigits(currency);
  const whole = Math.round(minor);
  return Math.abs(minor - whole) > 1e-6 ? null : { minor: whole, currency };
}
