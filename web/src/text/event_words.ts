// SPDX-License-Identifier: Apache-2.0
// One sentence for an entry of the ledger, from its kind and what it carries (docs/format/api.md:
// data). What a kind does not carry is left out of the sentence.
import type { LedgerEvent } from '../api/types';
import { mass } from '../format/mass';
import { fixed, type Units } from '../format/measured';
import { money, type Money } from '../format/money';
import { language, t } from './index';

type Data = Record<string, unknown>;

function text(data: Data, key: string): string {
  const value = data[key];
  return typeof value === 'string' ? value : '';
}

function grams(data: Data, key: string, units: Units): string {
  const value = data[key];
  return typeof value === 'number' ? mass(value, units) : '';
}

function number(data: Data, key: string): string {
  const value = data[key];
  return typeof value === 'number' ? fixed(value, Number.isInteger(value) ? 0 : 1) : '';
}

function price(data: Data, key: string): string {
  const value = data[key];
  if (typeof value !== 'object' || value === null || !('minor' in value) || !('currency' in value))
    return '';
  return money(value as Money, language);
}

function total(data: Data, key: string, units: Units): string {
  const list = data[key];
  if (!Array.isArray(list)) return '';
  const sum = list.reduce<number>((all, one) => {
    const part = (one as { mass_g?: unknown }).mass_g;
    return all + (typeof part === 'number' ? part : 0);
  }, 0);
  return sum > 0 ? mass(sum, units) : '';
}

function count(data: Data, key: string): number {
  const list = data[key];
  return Array.isArray(list) ? list.length : 0;
}

export function eventWords(event: LedgerEvent, units: Units): string {
  const data = event.data as Data;
  const w = t.eventWords;
  switch (event.kind) {
    case 'received':
      return w.received(text(data, 'cut'), grams(data, 'mass_g', units), text(data, 'supplier'));
    case 'weighed':
      return w.weighed(grams(data, 'mass_g', units));
    case 'photographed':
      return w.photographed;
    case 'judged':
      return w.judged(text(data, 'method'), text(data, 'revision'));
    case 'moved':
      return w.moved(text(data, 'location'));
    case 'cut':
      return w.cut(count(data, 'outputs'), total(data, 'losses', units));
    case 'trimmed':
      return w.trimmed(grams(data, 'mass_g', units), total(data, 'losses', units));
    case 'aged':
      return text(data, 'step') === 'ended' ? w.agedEnded : w.agedStarted(text(data, 'location'));
    case 'cooked':
      return w.cooked(text(data, 'doneness'), grams(data, 'mass_g', units));
    case 'served':
      return w.served(grams(data, 'part_g', units), text(data, 'place'));
    case 'sold':
      return w.sold(grams(data, 'part_g', units), price(data, 'price'), text(data, 'to'));
    case 'discarded':
      return w.discarded(grams(data, 'part_g', units), text(data, 'reason'));
    case 'tasted':
      return w.tasted(text(data, 'words'), number(data, 'score'));
    case 'corrected':
      return w.corrected(text(data, 'reason'));
    case 'voided':
      return w.voided(text(data, 'reason'));
    case 'counted':
      return w.counted(text(data, 'location'), count(data, 'lines'));
  }
}
