// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import type { LedgerEvent } from '../api/types';
import { changes, entered, typedOf, type Reading } from './entry';
import { fieldsOfEvent, fieldsOfKind } from './entry_fields';

const metric: Reading = { units: 'metric', currency: 'EUR' };
const event = (kind: string, data: object) => ({ kind, data }) as unknown as LedgerEvent;

describe('a new entry', () => {
  it('carries what was typed, in grams and minor units, and leaves out the empty', () => {
    const typed = { price: '19,90', to: ' table 4 ', part_g: '' };
    expect(entered(fieldsOfKind('sold'), typed, metric)).toEqual({
      data: { price: { minor: 1990, currency: 'EUR' }, to: 'table 4' },
      wrong: {},
    });
    expect(
      entered(fieldsOfKind('weighed'), { mass_g: '2' }, { ...metric, units: 'us' }).data,
    ).toEqual({ mass_g: 907.185 });
  });
  it('says what is wrong with each field', () => {
    expect(entered(fieldsOfKind('sold'), { part_g: 'half' }, metric).wrong).toEqual({
      price: 'needed',
      part_g: 'mass',
    });
    expect(entered(fieldsOfKind('weighed'), { mass_g: '0' }, metric).wrong).toEqual({
      mass_g: 'mass',
    });
    expect(entered(fieldsOfKind('tasted'), { score: '101' }, metric).wrong).toEqual({
      score: 'score',
    });
    const received = { cut: 'rib', mass_g: '6', slaughtered: '2026-13-01' };
    expect(entered(fieldsOfKind('received'), received, metric).wrong).toEqual({
      slaughtered: 'day',
    });
  });
});

describe('a correction', () => {
  const cut = event('cut', {
    piece_ids: ['7'],
    outputs: [
      { piece_id: '8', code: 'A-1', cut: 'steak', mass_g: 340 },
      { piece_id: '9', code: 'A-2', cut: 'steak', mass_g: 2740 },
    ],
    losses: [{ kind: 'kerf', mass_g: 20 }],
  });
  const fields = fieldsOfEvent(cut, '7');
  const before = typedOf(cut.data, fields, 'metric');

  it('shows what the entry says', () => {
    expect(before).toEqual({
      'outputs.0.cut': 'steak',
      'outputs.0.mass_g': '0.34',
      'outputs.1.cut': 'steak',
      'outputs.1.mass_g': '2.74',
      'losses.0.mass_g': '0.02',
    });
    const sold = event('sold', { price: { minor: 1990, currency: 'JPY' } });
    expect(typedOf(sold.data, fieldsOfKind('sold'), 'metric').price).toBe('1990');
  });
  it('sends nothing where nothing was changed, also in pounds', () => {
    expect(changes(cut.data, fields, before, metric).data).toEqual({});
    const us: Reading = { units: 'us', currency: 'USD' };
    const typed = typedOf(cut.data, fields, 'us');
    expect(changes(cut.data, fields, typed, us).data).toEqual({});
  });
  it('sends a list whole, other keys alone, and null for what was taken away', () => {
    const typed = { ...before, 'outputs.1.mass_g': '2.75', 'losses.0.mass_g': '0.01' };
    expect(changes(cut.data, fields, typed, metric).data).toEqual({
      outputs: [
        { piece_id: '8', code: 'A-1', cut: 'steak', mass_g: 340 },
        { piece_id: '9', code: 'A-2', cut: 'steak', mass_g: 2750 },
      ],
      losses: [{ kind: 'kerf', mass_g: 10 }],
    });
    expect(cut.data).toHaveProperty(['losses', 0, 'mass_g'], 20);
    const served = event('served', { piece_id: '8', place: 'table 4', part_g: 120 });
    const all = fieldsOfEvent(served, '8');
    const now = { ...typedOf(served.data, all, 'metric'), part_g: '' };
    expect(changes(served.data, all, now, metric).data).toEqual({ part_g: null });
  });
  it('of a count asks for the piece at hand alone; left empty, it was not found', () => {
    const counted = event('counted', {
      location: 'display',
      lines: [
        { piece_id: '8', mass_g: 340 },
        { piece_id: '9', mass_g: 2740, reason: 'purge' },
      ],
    });
    const all = fieldsOfEvent(counted, '9');
    const typed = { ...typedOf(counted.data, all, 'metric'), 'lines.1.mass_g': '' };
    expect(changes(counted.data, all, typed, metric).data).toEqual({
      lines: [
        { piece_id: '8', mass_g: 340 },
        { piece_id: '9', mass_g: null, reason: 'purge' },
      ],
    });
  });
  it('keeps the currency that the entry has', () => {
    const sold = event('sold', { price: { minor: 1990, currency: 'GBP' } });
    const all = fieldsOfEvent(sold, '8');
    expect(changes(sold.data, all, { price: '20.50' }, metric).data).toEqual({
      price: { minor: 2050, currency: 'GBP' },
    });
  });
});
