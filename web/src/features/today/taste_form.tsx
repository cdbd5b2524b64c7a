// SPDX-License-Identifier: Apache-2.0
// For whoever tastes and may not look into the ledger: the label on the plate, words, a score.
import { useState } from 'preact/hooks';
import { EntryFields } from '../../app/entry_form';
import { canScan, Scanner } from '../../app/scanner';
import { useHouse, useUnits } from '../../app/session';
import { TroubleNotice } from '../../app/trouble';
import { useWriting } from '../../app/write';
import { entered, type Typed } from '../../domain/entry';
import { fieldsOfKind } from '../../domain/entry_fields';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field } from '../../ui/field';

const FIELDS = fieldsOfKind('tasted');

export function TasteForm() {
  const units = useUnits();
  const { currency } = useHouse().settings;
  const { busy, trouble, write } = useWriting();
  const [code, setCode] = useState('');
  const [typed, setTyped] = useState<Typed>({});
  const [tried, setTried] = useState(false);
  const [written, setWritten] = useState(false);
  const [scanning, setScanning] = useState(false);
  const { data, wrong } = entered(FIELDS, typed, { units, currency });
  const saysNothing = Object.keys(data).length === 0;
  const label = code.trim().toUpperCase();

  const send = async (submit: Event) => {
    submit.preventDefault();
    setTried(true);
    setWritten(false);
    if (label === '' || saysNothing || Object.keys(wrong).length > 0) return;
    if ((await write({ kind: 'tasted', piece: label, ...data })) === null) return;
    setCode('');
    setTyped({});
    setTried(false);
    setWritten(true);
  };

  return (
    <section class="sheet">
      <h2>{t.write.tasted}</h2>
      <p role="status">{written ? t.write.done : ''}</p>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      {scanning ? (
        <Scanner
          onCode={(text) => {
            setScanning(false);
            setCode(text);
          }}
          onStop={() => {
            setScanning(false);
          }}
        />
      ) : canScan() ? (
        <Button
          wide
          onClick={() => {
            setScanning(true);
          }}
        >
          {t.assign.scan}
        </Button>
      ) : null}
      <form class="form" onSubmit={send} noValidate>
        <Field
          label={t.write.tasteCode}
          value={code}
          capitalize="characters"
          max={40}
          wrong={tried && label === '' ? t.write.needed : undefined}
          onValue={setCode}
        />
        <EntryFields
          fields={FIELDS}
          typed={typed}
          wrong={tried ? wrong : {}}
          currency={currency}
          onTyped={setTyped}
        />
        {tried && saysNothing ? <p class="wrong">{t.write.tasteAny}</p> : null}
        <div class="row">
          <Button type="submit" first disabled={busy}>
            {t.write.send}
          </Button>
        </div>
      </form>
    </section>
  );
}
