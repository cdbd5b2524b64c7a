// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import type { NewEvent } from '../../api/types';
import { go, link } from '../../app/route';
import { useHouse, useUnits } from '../../app/session';
import { TroubleNotice } from '../../app/trouble';
import { useWriting } from '../../app/write';
import { gramsFromText, massUnit } from '../../format/mass';
import { moneyFromText } from '../../format/money';
import { t } from '../../text';
import { Button, LinkButton } from '../../ui/button';
import { Field } from '../../ui/field';
import { BackIcon } from '../../ui/icons';

export function ReceivePage() {
  const units = useUnits();
  const { currency } = useHouse().settings;
  const { busy, trouble, write } = useWriting();
  const [tried, setTried] = useState(false);
  const [f, setF] = useState({
    cut: '',
    mass: '',
    code: '',
    cost: '',
    supplier: '',
    lot: '',
    location: '',
    note: '',
  });
  const put = (key: keyof typeof f) => (value: string) => {
    setF({ ...f, [key]: value });
  };
  const grams = gramsFromText(f.mass, units);
  const cost = f.cost.trim() === '' ? null : moneyFromText(f.cost, currency);
  const wrong = {
    cut: f.cut.trim() === '' ? t.write.needed : undefined,
    mass: grams === null || grams === 0 ? t.write.badMass : undefined,
    cost: f.cost.trim() !== '' && cost === null ? t.write.badMoney : undefined,
  };
  const send = async (event: Event) => {
    event.preventDefault();
    setTried(true);
    if (grams === null || Object.values(wrong).some((x) => x !== undefined)) return;
    const body: NewEvent = {
      kind: 'received',
      cut: f.cut.trim(),
      mass_g: grams,
      supplier: f.supplier.trim(),
      lot: f.lot.trim(),
      location: f.location.trim(),
      note: f.note.trim(),
      ...(f.code.trim() === '' ? {} : { code: f.code.trim().toUpperCase() }),
      ...(cost === null ? {} : { cost }),
    };
    const done = await write(body);
    const piece = done?.pieces[0];
    if (piece !== undefined) go(link('pieces', piece.id), true);
  };
  return (
    <form class="form" onSubmit={send} noValidate>
      <div class="row">
        <LinkButton plain href={link('ledger')} aria-label={t.back}>
          <BackIcon />
        </LinkButton>
        <h1>{t.write.received}</h1>
      </div>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <Field
        label={t.write.cutName}
        hint={t.write.cutHint}
        value={f.cut}
        onValue={put('cut')}
        wrong={tried ? wrong.cut : undefined}
        max={60}
        required
      />
      <Field
        label={t.write.mass}
        unit={massUnit(units)}
        mode="decimal"
        value={f.mass}
        onValue={put('mass')}
        wrong={tried ? wrong.mass : undefined}
        required
      />
      <Field
        label={t.write.place}
        hint={t.write.placeHint}
        value={f.location}
        onValue={put('location')}
        max={60}
      />
      <Field
        label={t.write.cost}
        unit={currency}
        mode="decimal"
        value={f.cost}
        onValue={put('cost')}
        wrong={tried ? wrong.cost : undefined}
      />
      <Field
        label={t.write.supplier}
        value={f.supplier}
        onValue={put('supplier')}
        max={80}
        capitalize="sentences"
      />
      <Field label={t.write.lot} value={f.lot} onValue={put('lot')} max={60} />
      <Field
        label={t.write.code}
        hint={t.write.codeHint}
        capitalize="characters"
        value={f.code}
        onValue={put('code')}
        max={40}
      />
      <Field label={t.write.note} value={f.note} onValue={put('note')} max={500} long />
      <div class="row">
        <Button type="submit" first disabled={busy}>
          {t.write.send}
        </Button>
      </div>
    </form>
  );
}
