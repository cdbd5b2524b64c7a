// SPDX-License-Identifier: Apache-2.0
// Counting a place: every piece that the ledger has there, weighed again; then the difference in
// weight and money, with reasons.
import { useRef, useState } from 'preact/hooks';
import { newKey, request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import type { Count, NewCount, Page, Piece, Stock } from '../../api/types';
import { useLoad } from '../../app/load';
import { useUnits } from '../../app/session';
import { Ready, TroubleNotice } from '../../app/trouble';
import { gramsFromText, mass, massUnit, signedMass } from '../../format/mass';
import { money, moneys } from '../../format/money';
import { dateTime } from '../../format/time';
import { language, t } from '../../text';
import { Button } from '../../ui/button';
import { Field, Select } from '../../ui/field';

export function CountTab() {
  const stock = useLoad<Stock>(url('stock'));
  const counts = useLoad<Page<Count>>(url('counts', { limit: 5 }));
  const [place, setPlace] = useState<string | null>(null);
  const [result, setResult] = useState<Count | null>(null);
  const [chosen, setChosen] = useState('');
  return (
    <>
      {result === null ? null : <Result count={result} />}
      {place === null ? (
        <section class="sheet">
          <h2>{t.count.title}</h2>
          <p class="soft">{t.count.words}</p>
          <Ready from={stock}>
            {({ items }) => {
              const places = [...new Set(items.map((row) => row.location))];
              if (places.length === 0) return <p class="soft">{t.stock.empty}</p>;
              const at = places.includes(chosen) ? chosen : (places[0] ?? '');
              return (
                <div class="form">
                  <Select
                    label={t.count.place}
                    value={at}
                    options={places.map((p) => [p, p === '' ? t.ledger.noLocation : p] as const)}
                    onValue={setChosen}
                  />
                  <div class="row">
                    <Button
                      first
                      onClick={() => {
                        setResult(null);
                        setPlace(at);
                      }}
                    >
                      {t.count.start}
                    </Button>
                  </div>
                </div>
              );
            }}
          </Ready>
        </section>
      ) : (
        <CountForm
          place={place}
          onClosed={(count) => {
            setResult(count);
            setPlace(null);
            counts.again();
            stock.again();
          }}
          onCancel={() => {
            setPlace(null);
          }}
        />
      )}
      <section class="stack">
        <h2>{t.count.earlier}</h2>
        <Ready from={counts}>
          {({ items }) =>
            items.length === 0 ? (
              <p class="soft">{t.count.noEarlier}</p>
            ) : (
              <ul class="list">
                {items.map((count) => (
                  <li key={count.id}>
                    <button
                      type="button"
                      class="item"
                      onClick={() => {
                        setResult(count);
                      }}
                    >
                      <Summary count={count} />
                    </button>
                  </li>
                ))}
              </ul>
            )
          }
        </Ready>
      </section>
    </>
  );
}

function Summary({ count }: { count: Count }) {
  const units = useUnits();
  return (
    <>
      <span class="name">{count.location === '' ? t.ledger.noLocation : count.location}</span>
      <span class="more">{t.ledger.by(count.by, dateTime(count.at, language))}</span>
      <b class="figure number">{signedMass(count.variance_g, units)}</b>
    </>
  );
}

function Result({ count }: { count: Count }) {
  const units = useUnits();
  return (
    <section class="sheet" role="status">
      <h2>{t.count.result}</h2>
      <p>
        {t.count.variance}: <b class="number">{signedMass(count.variance_g, units)}</b>
        {count.variance.length === 0 ? '' : `, ${moneys(count.variance, language)}`}
      </p>
      <ul class="list">
        {count.lines.map((line) => (
          <li key={line.code}>
            <div class="item">
              <span class="name">{line.code}</span>
              <span class="more">
                {t.count.expected(mass(line.ledger_g, units))},{t.count.counted.toLowerCase()}:{' '}
                {line.counted_g === null ? t.count.notFound : mass(line.counted_g, units)}
                {line.reason === '' ? '' : `, ${line.reason}`}
              </span>
              <span class="figure">
                <b class="number">{signedMass(line.variance_g, units)}</b>
                <br />
                <span class="soft small number">
                  {line.variance === null ? '' : money(line.variance, language)}
                </span>
              </span>
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface Entry {
  mass: string;
  reason: string;
}

function CountForm(props: {
  place: string;
  onClosed: (count: Count) => void;
  onCancel: () => void;
}) {
  const { place } = props;
  const units = useUnits();
  const pieces = useLoad<Page<Piece>>(
    url('pieces', { location: place, state: 'in_stock', limit: 500 }),
  );
  const [entries, setEntries] = useState<Record<string, Entry>>({});
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [tried, setTried] = useState(false);
  const once = useRef(newKey());
  const entryOf = (piece: Piece): Entry => entries[piece.id] ?? { mass: '', reason: '' };
  const put = (piece: Piece, part: Partial<Entry>) => {
    once.current = newKey();
    setEntries({ ...entries, [piece.id]: { ...entryOf(piece), ...part } });
  };
  const wrongOf = (piece: Piece) => {
    const text = entryOf(piece).mass;
    return text.trim() !== '' && gramsFromText(text, units) === null ? t.write.badMass : undefined;
  };
  const close = async (list: Piece[]) => {
    setTried(true);
    if (list.some((piece) => wrongOf(piece) !== undefined)) return;
    const body: NewCount = {
      location: place,
      whole: true,
      lines: list.map((piece) => {
        const entry = entryOf(piece);
        const grams = entry.mass.trim() === '' ? null : gramsFromText(entry.mass, units);
        return { piece_id: piece.id, mass_g: grams, reason: entry.reason.trim() };
      }),
    };
    const answer = await request<Count>(url('counts'), {
      method: 'POST',
      body,
      once: once.current,
    });
    if (answer.ok) props.onClosed(answer.value);
    else setTrouble(answer.trouble);
  };
  return (
    <section class="sheet">
      <h2>
        {t.count.title}: {place === '' ? t.ledger.noLocation : place}
      </h2>
      <p>{t.count.words}</p>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <Ready from={pieces}>
        {({ items }) =>
          items.length === 0 ? (
            <p class="soft">{t.count.nothing}</p>
          ) : (
            <>
              <ul class="stack">
                {items.map((piece) => (
                  <li key={piece.id} class="count-line">
                    <p>
                      <b>{piece.code}</b>, {piece.cut},{' '}
                      {t.count.expected(mass(piece.mass_g, units))}
                    </p>
                    <Field
                      label={t.count.counted}
                      unit={massUnit(units)}
                      mode="decimal"
                      value={entryOf(piece).mass}
                      wrong={tried ? wrongOf(piece) : undefined}
                      onValue={(text) => {
                        put(piece, { mass: text });
                      }}
                    />
                    <Field
                      label={t.count.reason}
                      value={entryOf(piece).reason}
                      max={200}
                      onValue={(reason) => {
                        put(piece, { reason });
                      }}
                    />
                  </li>
                ))}
              </ul>
              <p class="soft small">{t.count.reasonHint}</p>
              <div class="row">
                <Button first onClick={() => close(items)}>
                  {t.count.close}
                </Button>
                <Button onClick={props.onCancel}>{t.cancel}</Button>
              </div>
            </>
          )
        }
      </Ready>
    </section>
  );
}
