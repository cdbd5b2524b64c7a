// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import type { LedgerEvent } from '../api/types';
import { eventWords } from './event_words';
import { en } from './en';

const event = (kind: string, data: object) => ({ kind, data }) as unknown as LedgerEvent;
const words = (kind: string, data: object) =>
  eventWords(event(kind, data), 'metric').replaceAll('\u00a0', ' ');

describe('an entry in words', () => {
  it('says what it carries, with units', () => {
    expect(words('received', { cut: 'rib', mass_g: 6240, supplier: 'North Hill Farm' })).toBe(
      'Received: rib, 6.240 kg, from North Hill Farm.',
    );
    expect(words('cut', { outputs: [{}, {}], losses: [{ kind: 'kerf', mass_g: 40 }] })).toBe(
      'Cut into 2 parts, 40 g lost.',
    );
    expect(words('sold', { price: { minor: 1990, currency: 'EUR' }, to: 'table 4' })).toBe(
      'Sold for €19.90 to table 4.',
    );
    expect(words('discarded', { part_g: 120, reason: 'smell' })).toBe('Discarded 120 g: smell.');
  });
  it('leaves out what is not there', () => {
    expect(words('served', {})).toBe('Served.');
    expect(words('trimmed', { mass_g: 900 })).toBe('Trimmed to 900 g.');
    expect(words('received', { cut: 'rib', mass_g: 'much' })).toBe('Received: rib.');
  });
  it('has a sentence for every kind', () => {
    for (const kind of Object.keys(en.ledger.kind)) {
      expect(words(kind, {}), kind).toMatch(/^[A-Z].*\.$/);
    }
  });
});
