// SPDX-License-Identifier: Apache-2.0
// What is in stock by cut and place, how old, worth what, and how far below par.
import { useState } from 'preact/hooks';
import { request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import type { Stock } from '../../api/types';
import { useLoad } from '../../app/load';
import { useMay, useUnits } from '../../app/session';
import { Ready, TroubleNotice } from '../../app/trouble';
import { gramsFromText, mass, massUnit } from '../../format/mass';
import { moneys } from '../../format/money';
import { language, t } from '../../text';
import { Button } from '../../ui/button';
import { Dialog } from '../../ui/dialog';
import { Field } from '../../ui/field';

type Row = Stock['items'][number];

export function StockTab() {
  const stock = useLoad<Stock>(url('stock'));
  const mayPar = useMay('count');
  const [par, setPar] = useState<Row | null>(null);
  return (
    <>
      <Ready from={stock}>
        {({ items }) =>
          items.length === 0 ? (
            <p class="soft">{t.stock.empty}</p>
          ) : (
            <ul class="list">
              {items.map((row) => (
                <li key={`${row.cut}/${row.location}`}>
                  <StockRow row={row} onPar={mayPar ? setPar : null} />
                </li>
              ))}
            </ul>
          )
        }
      </Ready>
      {par === null ? null : (
        <ParDialog
          row={par}
          onClose={() => {
            setPar(null);
          }}
          onSet={() => {
            setPar(null);
            stock.again();
          }}
        />
      )}
    </>
  );
}

function StockRow({ row, onPar }: { row: Row; onPar: ((row: Row) => void) | null }) {
  const units = useUnits();
  const place = row.location === '' ? t.ledger.noLocation : row.location;
  const facts = [
    place,
    t.stock.piecesOf(row.pieces),
    ...(row.pieces === 0 ? [] : [t.stock.oldestOf(t.ledger.days(row.oldest_days))]),
    ...(row.par_g === null ? [] : [t.stock.parOf(mass(row.par_g, units))]),
  ];
  const short = row.short_g > 0 ? row.short_g : null;
  return (
    <div class="item stock-item">
      <span class="name">{row.cut}</span>
      <span class="more">
        {facts.join(', ')}
        {short === null ? null : <b class="care-text">, {t.stock.shortOf(mass(short, units))}</b>}
      </span>
      <span class="figure">
        <b class="number">{mass(row.mass_g, units)}</b>
        <br />
        <span class="soft small number">{moneys(row.cost, language)}</span>
      </span>
      {onPar === null ? null : (
        <Button
          plain
          aria-label={t.stock.parFor(row.cut, place)}
          onClick={() => {
            onPar(row);
          }}
        >
          {t.stock.setPar}
        </Button>
      )}
    </div>
  );
}

function ParDialog(props: { row: Row; onClose: () => void; onSet: () => void }) {
  const { row } = props;
  const units = useUnits();
  const [text, setText] = useState('');
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const grams = text.trim() === '' ? null : gramsFromText(text, units);
  const wrong = text.trim() !== '' && grams === null ? t.write.badMass : undefined;
  const send = async (event: Event) => {
    event.preventDefault();
    if (wrong !== undefined) return;
    const body = { cut: row.cut, location: row.location, par_g: grams };
    const answer = await request(url('par'), { method: 'PUT', body });
    if (answer.ok) props.onSet();
    else setTrouble(answer.trouble);
  };
  return (
    <Dialog
      title={t.stock.parFor(row.cut, row.location === '' ? t.ledger.noLocation : row.location)}
      onClose={props.onClose}
    >
      <form class="form" onSubmit={send} noValidate>
        {trouble === null ? null : <TroubleNotice trouble={trouble} />}
        <Field
          label={t.stock.par}
          unit={massUnit(units)}
          hint={t.stock.parHint}
          mode="decimal"
          value={text}
          onValue={setText}
          wrong={wrong}
        />
        <div class="row">
          <Button type="submit" first>
            {t.save}
          </Button>
          <Button onClick={props.onClose}>{t.cancel}</Button>
        </div>
      </form>
    </Dialog>
  );
}
