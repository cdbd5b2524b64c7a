// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import type { LedgerEvent } from '../../api/types';
import { useUnits } from '../../app/session';
import { TroubleNotice } from '../../app/trouble';
import { useWriting } from '../../app/write';
import { t } from '../../text';
import { eventWords } from '../../text/event_words';
import { Button } from '../../ui/button';
import { Dialog } from '../../ui/dialog';
import { Field } from '../../ui/field';

export function VoidDialog(props: { event: LedgerEvent; onClose: () => void; onDone: () => void }) {
  const { event } = props;
  const units = useUnits();
  const { busy, trouble, write } = useWriting();
  const [reason, setReason] = useState('');
  const send = async (submit: Event) => {
    submit.preventDefault();
    if (reason.trim() === '') return;
    if ((await write({ kind: 'voided', event_id: event.id, reason: reason.trim() })) !== null)
      props.onDone();
  };
  return (
    <Dialog title={t.write.voided} onClose={props.onClose}>
      <p>{eventWords(event, units)}</p>
      <form class="form" onSubmit={send}>
        {trouble === null ? null : <TroubleNotice trouble={trouble} />}
        <Field label={t.ledger.voidReason} value={reason} onValue={setReason} max={200} required />
        <div class="row">
          <Button type="submit" fault disabled={busy}>
            {t.ledger.void}
          </Button>
          <Button onClick={props.onClose}>{t.cancel}</Button>
        </div>
      </form>
    </Dialog>
  );
}
