// SPDX-License-Identifier: Apache-2.0
// The entries that want one or two facts: weighed, moved, trimmed, served, sold, discarded.
import { useState } from 'preact/hooks';
import type { NewEvent, Piece } from '../../api/types';
import { useHouse, useUnits } from '../../app/session';
import { TroubleNotice } from '../../app/trouble';
import { useWriting } from '../../app/write';
import { gramsFromText, mass, massUnit } from '../../format/mass';
import { moneyFromText } from '../../format/money';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field } from '../../ui/field';

export type SimpleKind = 'weighed' | 'moved' | 'trimmed' | 'served' | 'sold' | 'discarded';

interface SimpleFormProps {
  kind: SimpleKind;
  piece: Piece;
  onDone: () => void;
  onCancel: () => void;
}

export function SimpleForm({ kind, piece, onDone, onCancel }: SimpleFormProps) {
  const units = useUnits();
  const { currency } = useHouse().settings;
  const { busy, trouble, write } = useWriting();
  const [weight, setWeight] = useState('');
  const [words, setWords] = useState('');
  const [price, setPrice] = useState('');
  const [note, setNote] = useState('');
  const [tried, setTried] = useState(false);
  const grams = gramsFromText(weight, units);
  const amount = moneyFromText(price, currency);
  const wantsMass = kind === 'weighed' || kind === 'trimmed';
  const wantsWords = kind === 'moved' || kind === 'discarded';
  const massBad = wantsMass && (grams === null || grams === 0) ? t.write.badMass : undefined;
  const wordsBad = wantsWords && words.trim() === '' ? t.write.needed : undefined;
  const priceBad = kind === 'sold' && amount === null ? t.write.badMoney : undefined;

  const eventOf = (): NewEvent | null => {
    const common = { piece_id: piece.id, note: note.trim() };
    const text = words.trim();
    if (kind === 'moved') return { kind, ...common, location: text };
    if (kind === 'discarded') return { kind, ...common, reason: text };
    if (kind === 'served') return { kind, ...common, place: text };
    if (kind === 'sold')
      return amount === null ? null : { kind, ...common, price: amount, to: text };
    if (grams === null) return null;
    if (kind === 'weighed') return { kind, ...common, mass_g: grams };
    return {
      kind,
      ...common,
      mass_g: grams,
      outputs: [],
      loss_g: Math.max(0, piece.mass_g - grams),
    };
  };

  const send = async (submit: Event) => {
    submit.preventDefault();
    setTried(true);
    const event = eventOf();
    if (event === null || massBad !== undefined || wordsBad !== undefined || priceBad !== undefined)
      return;
    if ((await write(event)) !== null) onDone();
  };

  const wordsLabel = {
    moved: t.write.place,
    discarded: t.write.reason,
    served: t.write.table,
    sold: t.write.soldTo,
    weighed: '',
    trimmed: '',
  }[kind];
  return (
    <form class="form" onSubmit={send} noValidate>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      {wantsMass ? (
        <Field
          label={kind === 'trimmed' ? t.write.massAfter : t.write.mass}
          unit={massUnit(units)}
          hint={`${t.ledger.title}: ${mass(piece.mass_g, units)}`}
          mode="decimal"
          value={weight}
          onValue={setWeight}
          wrong={tried ? massBad : undefined}
        />
      ) : null}
      {kind === 'sold' ? (
        <Field
          label={t.write.price}
          unit={currency}
          mode="decimal"
          value={price}
          onValue={setPrice}
          wrong={tried ? priceBad : undefined}
        />
      ) : null}
      {wordsLabel === '' ? null : (
        <Field
          label={wordsLabel}
          value={words}
          onValue={setWords}
          wrong={tried ? wordsBad : undefined}
          max={60}
        />
      )}
      <Field label={t.write.note} value={note} onValue={setNote} max={500} />
      <div class="row">
        <Button type="submit" first disabled={busy}>
          {t.write.send}
        </Button>
        <Button onClick={onCancel}>{t.cancel}</Button>
      </div>
    </form>
  );
}
