// SPDX-License-Identifier: Apache-2.0
// The entries that want a few facts: weighed, moved, trimmed, aged, cooked, served, sold,
// discarded, tasted.
import { useState } from 'preact/hooks';
import type { NewEvent, Piece } from '../../api/types';
import { EntryFields } from '../../app/entry_form';
import { useHouse, useUnits } from '../../app/session';
import { TroubleNotice } from '../../app/trouble';
import { useWriting } from '../../app/write';
import { entered, type Typed } from '../../domain/entry';
import { fieldsOfKind } from '../../domain/entry_fields';
import { mass } from '../../format/mass';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field } from '../../ui/field';

export type SimpleKind =
  'weighed' | 'moved' | 'trimmed' | 'aged' | 'cooked' | 'served' | 'sold' | 'discarded' | 'tasted';

interface SimpleFormProps {
  kind: SimpleKind;
  piece: Piece;
  onDone: () => void;
  onCancel: () => void;
}

function eventOf(
  kind: SimpleKind,
  piece: Piece,
  data: Record<string, unknown>,
  note: string,
): NewEvent {
  const event: Record<string, unknown> = { kind, piece_id: piece.id, ...data };
  if (note !== '') event.note = note;
  if (kind === 'aged') event.step = piece.state === 'ageing' ? 'ended' : 'started';
  if (kind === 'trimmed') {
    const after = typeof data.mass_g === 'number' ? data.mass_g : piece.mass_g;
    event.outputs = [];
    event.loss_g = Math.max(0, Math.round((piece.mass_g - after) * 1000) / 1000);
  }
  return event as NewEvent;
}

export function SimpleForm({ kind, piece, onDone, onCancel }: SimpleFormProps) {
  const units = useUnits();
  const { currency } = useHouse().settings;
  const { busy, trouble, write } = useWriting();
  const [typed, setTyped] = useState<Typed>({});
  const [note, setNote] = useState('');
  const [tried, setTried] = useState(false);
  const fields = fieldsOfKind(kind);
  const { data, wrong } = entered(fields, typed, { units, currency });
  const saysNothing = kind === 'tasted' && Object.keys(data).length === 0;

  const send = async (submit: Event) => {
    submit.preventDefault();
    setTried(true);
    if (Object.keys(wrong).length > 0 || saysNothing) return;
    if ((await write(eventOf(kind, piece, data, note.trim()))) !== null) onDone();
  };

  const now = `${t.ledger.title}: ${mass(piece.mass_g, units)}`;
  return (
    <form class="form" onSubmit={send} noValidate>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <EntryFields
        fields={fields}
        typed={typed}
        wrong={tried ? wrong : {}}
        currency={currency}
        hints={{ mass_g: now, part_g: now }}
        onTyped={setTyped}
      />
      {tried && saysNothing ? <p class="wrong">{t.write.tasteAny}</p> : null}
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
