// SPDX-License-Identifier: Apache-2.0
// From what was typed to what an entry carries, and from a written entry to what was changed in it.
// Masses are typed in the reader's unit and sent in grams; money in its currency's decimals. Pure.
import { G_PER_LB, gramsFromText, numberFromText } from '../format/mass';
import type { Units } from '../format/measured';
import { minorDigits, moneyFromText, type Money } from '../format/money';
import type { EntryField, Path } from './entry_fields';

export type Typed = Readonly<Record<string, string>>; // by the field's key
export type Wrong = 'needed' | 'mass' | 'money' | 'score' | 'day';
export interface Reading {
  units: Units;
  currency: string; // of money that has none yet
}
export interface Entered {
  data: Record<string, unknown>; // empty fields are left out
  wrong: Readonly<Record<string, Wrong>>;
}

export function keyOf(field: EntryField): string {
  return field.path.join('.');
}

function at(data: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (value, key) =>
      typeof value === 'object' && value !== null
        ? (value as Record<string | number, unknown>)[key]
        : undefined,
    data,
  );
}

function isMoney(value: unknown): value is Money {
  return typeof value === 'object' && value !== null && 'minor' in value && 'currency' in value;
}

function shown(value: unknown, field: EntryField, units: Units): string {
  if (typeof value === 'string') return value;
  if (typeof value === 'number' && field.shape === 'mass')
    return units === 'us'
      ? (value / G_PER_LB).toFixed(3)
      : String(Number((value / 1000).toFixed(6)));
  if (typeof value === 'number') return String(value);
  if (isMoney(value)) {
    const digits = minorDigits(value.currency);
    return (value.minor / 10 ** digits).toFixed(digits);
  }
  return '';
}

export function typedOf(data: unknown, fields: readonly EntryField[], units: Units): Typed {
  return Object.fromEntries(
    fields.map((field) => [keyOf(field), shown(at(data, field.path), field, units)]),
  );
}

const DAY = /^\d{4}-\d{2}-\d{2}$/;

// The value, null for what was left empty, or what is wrong with it.
function read(
  field: EntryField,
  typed: string,
  reading: Reading,
): { value: unknown } | { wrong: Wrong } {
  const text = typed.trim();
  if (text === '') return field.needed ? { wrong: 'needed' } : { value: null };
  switch (field.shape) {
    case 'text':
      return { value: text };
    case 'mass': {
      const grams = gramsFromText(text, reading.units);
      return grams === null || grams === 0 ? { wrong: 'mass' } : { value: grams };
    }
    case 'money': {
      const amount = moneyFromText(text, reading.currency);
      return amount === null ? { wrong: 'money' } : { value: amount };
    }
    case 'score': {
      const score = numberFromText(text);
      return score === null || score < 0 || score > 100 ? { wrong: 'score' } : { value: score };
    }
    case 'day':
      return DAY.test(text) && !Number.isNaN(Date.parse(text)) ? { value: text } : { wrong: 'day' };
  }
}

export function entered(fields: readonly EntryField[], typed: Typed, reading: Reading): Entered {
  const data: Record<string, unknown> = {};
  const wrong: Record<string, Wrong> = {};
  for (const field of fields) {
    const key = keyOf(field);
    const got = read(field, typed[key] ?? '', reading);
    if ('wrong' in got) wrong[key] = got.wrong;
    else if (got.value !== null) data[key] = got.value;
  }
  return { data, wrong };
}

// The keys of `data` that were put right: null for what was taken away; of a list with one change
// the whole list, since the ledger takes lists as a whole.
export function changes(
  data: object,
  fields: readonly EntryField[],
  typed: Typed,
  reading: Reading,
): Entered {
  const before = typedOf(data, fields, reading.units);
  const changed: Record<string, unknown> = {};
  const wrong: Record<string, Wrong> = {};
  for (const field of fields) {
    const key = keyOf(field);
    const text = typed[key] ?? '';
    if (text.trim() === (before[key] ?? '').trim()) continue;
    const old = at(data, field.path);
    const got = read(field, text, isMoney(old) ? { ...reading, currency: old.currency } : reading);
    if ('wrong' in got) {
      wrong[key] = got.wrong;
      continue;
    }
    const [top, index, inner] = field.path;
    if (typeof top !== 'string') continue;
    if (typeof index !== 'number' || typeof inner !== 'string') {
      changed[top] = got.value;
      continue;
    }
    const list = (changed[top] ?? structuredClone(at(data, [top]))) as Record<string, unknown>[];
    const item = list[index];
    if (item !== undefined) item[inner] = got.value ?? (field.shape === 'text' ? '' : null);
    changed[top] = list;
  }
  return { data: changed, wrong };
}
