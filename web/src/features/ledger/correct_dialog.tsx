// SPDX-License-Identifier: Apache-2.0
// Putting a written entry right: its facts as they stand, to be changed, and why. Only what was
// changed is sent; the program derives everything after it again, or refuses with the entry that
// could not stand then.
import { useState } from 'preact/hooks';
import type { LedgerEvent } from '../../api/types';
import { EntryFields } from '../../app/entry_form';
import { useHouse, useUnits } from '../../app/session';
import { TroubleNotice } from '../../app/trouble';
import { useWriting } from '../../app/write';
import { changes, typedOf } from '../../domain/entry';
import { fieldsOfEvent } from '../../domain/entry_fields';
import { t } from '../../text';
import { eventWords } from '../../text/event_words';
import { Button } from '../../ui/button';
import { Dialog } from '../../ui/dialog';
import { Field } from '../../ui/field';

export function canCorrect(event: LedgerEvent, piece: string): boolean {
  return event.voided_by === null && fieldsOfEvent(event, piece).length > 0;
}

export function CorrectDialog(props: {
  event: LedgerEvent;
  piece: string;
  onClose: () => void;
  onDone: () => void;
}) {
  const { event, piece } = props;
  const units = useUnits();
  const { currency } = useHouse().settings;
  const { busy, trouble, write } = useWriting();
  const fields = fieldsOfEvent(event, piece);
  const [typed, setTyped] = useState(() => typedOf(event.data, fields, units));
  const [reason, setReason] = useState('');
  const [tried, setTried] = useState(false);
  const { data, wrong } = changes(event.data, fields, typed, { units, currency });
  const nothing = Object.keys(data).length === 0 && Object.keys(wrong).length === 0;

  const send = async (submit: Event) => {
    submit.preventDefault();
    setTried(true);
    if (nothing || Object.keys(wrong).length > 0 || reason.trim() === '') return;
    const done = await write({
      kind: 'corrected',
      event_id: event.id,
      reason: reason.trim(),
      data: data as Record<string, never>, // keys of any kind: the schema says only that it is an object
    });
    if (done !== null) props.onDone();
  };

  return (
    <Dialog title={t.write.corrected} onClose={props.onClose}>
      <p>{eventWords(event, units)}</p>
      <p class="soft small">{t.write.correctWords}</p>
      <form class="form" onSubmit={send} noValidate>
        {trouble === null ? null : <TroubleNotice trouble={trouble} />}
        <EntryFields
          fields={fields}
          typed={typed}
          wrong={tried ? wrong : {}}
          currency={currency}
          onTyped={setTyped}
        />
        <Field
          label={t.write.correctWhy}
          value={reason}
          onValue={setReason}
          max={200}
          wrong={tried && reason.trim() === '' ? t.write.needed : undefined}
        />
        {tried && nothing ? <p class="wrong">{t.write.nothingChanged}</p> : null}
        <div class="row">
          <Button type="submit" first disabled={busy}>
            {t.ledger.correct}
          </Button>
          <Button onClick={props.onClose}>{t.cancel}</Button>
        </div>
      </form>
    </Dialog>
  );
}
