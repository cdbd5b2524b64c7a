// SPDX-License-Identifier: Apache-2.0
// Which facts an entry of the ledger carries that a person types or puts right, by kind
// (docs/format/ledger.md has the keys). Codes and numbers of pieces are never typed again. Pure.
import type { EventKind, LedgerEvent } from '../api/types';

export type Path = readonly (string | number)[];
export type Shape = 'mass' | 'text' | 'money' | 'score' | 'day';
export type FieldName =
  | 'cut'
  | 'mass'
  | 'massAfter'
  | 'massCooked'
  | 'part'
  | 'place'
  | 'agePlace'
  | 'table'
  | 'cost'
  | 'price'
  | 'soldTo'
  | 'supplier'
  | 'lot'
  | 'slaughtered'
  | 'reason'
  | 'doneness'
  | 'words'
  | 'score'
  | 'outputCut'
  | 'outputMass'
  | 'lossMass'
  | 'countMass';

export interface EntryField {
  path: Path; // into the entry's data
  name: FieldName;
  shape: Shape;
  needed: boolean;
  max?: number; // of the letters
  of?: string; // which one of several: its number, or its kind
}

const field = (key: string, name: FieldName, shape: Shape, more: Partial<EntryField> = {}) => ({
  path: [key],
  name,
  shape,
  needed: false,
  ...more,
});
const needed = { needed: true };
const PART = field('part_g', 'part', 'mass');

const FIELDS: Partial<Record<EventKind, readonly EntryField[]>> = {
  received: [
    field('cut', 'cut', 'text', { ...needed, max: 60 }),
    field('mass_g', 'mass', 'mass', needed),
    field('location', 'place', 'text', { max: 60 }),
    field('cost', 'cost', 'money'),
    field('supplier', 'supplier', 'text', { max: 80 }),
    field('lot', 'lot', 'text', { max: 60 }),
    field('slaughtered', 'slaughtered', 'day'),
  ],
  weighed: [field('mass_g', 'mass', 'mass', needed)],
  moved: [field('location', 'place', 'text', { ...needed, max: 60 })],
  trimmed: [field('mass_g', 'massAfter', 'mass', needed)],
  aged: [field('location', 'agePlace', 'text', { max: 60 })],
  cooked: [
    field('doneness', 'doneness', 'text', { max: 40 }),
    field('mass_g', 'massCooked', 'mass'),
  ],
  served: [field('place', 'table', 'text', { max: 60 }), PART],
  sold: [
    field('price', 'price', 'money', needed),
    field('to', 'soldTo', 'text', { max: 60 }),
    PART,
  ],
  discarded: [field('reason', 'reason', 'text', { ...needed, max: 60 }), PART],
  tasted: [field('words', 'words', 'text', { max: 500 }), field('score', 'score', 'score')],
};

export function fieldsOfKind(kind: EventKind): readonly EntryField[] {
  return FIELDS[kind] ?? [];
}

function listOf(data: object, key: string): Record<string, unknown>[] {
  const list = (data as Record<string, unknown>)[key];
  return Array.isArray(list) ? (list as Record<string, unknown>[]) : [];
}

function text(value: unknown): string {
  return typeof value === 'string' ? value : '';
}

// What a written entry carries: its kind's facts, one for each part and loss, and of a count what
// was found of `piece`.
export function fieldsOfEvent(event: LedgerEvent, piece: string): readonly EntryField[] {
  const { data } = event;
  const outputs = listOf(data, 'outputs').flatMap((_, i): EntryField[] => [
    {
      path: ['outputs', i, 'cut'],
      name: 'outputCut',
      shape: 'text',
      needed: true,
      max: 60,
      of: String(i + 1),
    },
    {
      path: ['outputs', i, 'mass_g'],
      name: 'outputMass',
      shape: 'mass',
      needed: true,
      of: String(i + 1),
    },
  ]);
  const losses = listOf(data, 'losses').map((loss, i): EntryField => ({
    path: ['losses', i, 'mass_g'],
    name: 'lossMass',
    shape: 'mass',
    needed: true,
    of: text(loss.kind),
  }));
  const lines = listOf(data, 'lines').flatMap((line, i): EntryField[] =>
    line.piece_id === piece
      ? [
          { path: ['lines', i, 'mass_g'], name: 'countMass', shape: 'mass', needed: false },
          { path: ['lines', i, 'reason'], name: 'reason', shape: 'text', needed: false, max: 200 },
        ]
      : [],
  );
  return [...fieldsOfKind(event.kind), ...outputs, ...losses, ...lines];
}
