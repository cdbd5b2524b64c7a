// SPDX-License-Identifier: Apache-2.0
// What wants doing now: the camera first, then what is short, what was judged and written last.
import { url } from '../../api/client';
import type { FaceLine, LedgerEvent, Page, Stock } from '../../api/types';
import { LatestFaces } from '../../app/face_list';
import { useLoad } from '../../app/load';
import { link } from '../../app/route';
import { useMay, useUnits } from '../../app/session';
import { Ready } from '../../app/trouble';
import { mass } from '../../format/mass';
import { dateTime } from '../../format/time';
import { language, t } from '../../text';
import { eventWords } from '../../text/event_words';
import { LinkButton } from '../../ui/button';
import { CameraIcon } from '../../ui/icons';
import { TasteForm } from './taste_form';

export function TodayPage() {
  const mayJudge = useMay('judge');
  const mayRead = useMay('read_ledger');
  const mayTaste = useMay('taste');
  const faces = useLoad<Page<FaceLine>>(mayRead ? url('faces', { limit: 5 }) : null);
  const stock = useLoad<Stock>(mayRead ? url('stock') : null);
  const events = useLoad<Page<LedgerEvent>>(mayRead ? url('events', { limit: 6 }) : null);
  return (
    <>
      <h1>{t.today.title}</h1>
      {mayJudge ? (
        <LinkButton first big wide href={link('judge')}>
          <CameraIcon />
          {t.today.photograph}
        </LinkButton>
      ) : null}
      {mayTaste && !mayRead ? <TasteForm /> : null}
      {mayRead ? (
        <div class="columns">
          <section class="stack">
            <h2>{t.today.faces}</h2>
            <LatestFaces from={faces} />
          </section>
          <div class="stack">
            <section class="stack">
              <h2>{t.today.short}</h2>
              <Ready from={stock}>{(now) => <Short stock={now} />}</Ready>
            </section>
            <section class="stack">
              <h2>{t.today.events}</h2>
              <Ready from={events}>{({ items }) => <Events events={items} />}</Ready>
            </section>
          </div>
        </div>
      ) : null}
    </>
  );
}

function Short({ stock }: { stock: Stock }) {
  const units = useUnits();
  const pieces = stock.items.reduce((sum, row) => sum + row.pieces, 0);
  const grams = stock.items.reduce((sum, row) => sum + row.mass_g, 0);
  const short = stock.items.filter((row) => row.short_g > 0);
  return (
    <>
      {short.length === 0 ? <p class="soft">{t.today.noShort}</p> : null}
      {short.length === 0 ? null : (
        <ul class="list">
          {short.map((row) => (
            <li key={`${row.cut}/${row.location}`}>
              <a class="item" href={link('ledger', 'stock')}>
                <span class="name">{row.cut}</span>
                <span class="more">{row.location === '' ? t.ledger.noLocation : row.location}</span>
                <span class="figure">
                  <b class="number">{t.today.missing(mass(row.short_g, units))}</b>
                  <br />
                  <span class="soft small number">{t.today.par(mass(row.par_g ?? 0, units))}</span>
                </span>
              </a>
            </li>
          ))}
        </ul>
      )}
      <p>
        <a href={link('ledger', 'stock')}>{t.today.stock(pieces, mass(grams, units))}</a>
      </p>
    </>
  );
}

function Events({ events }: { events: readonly LedgerEvent[] }) {
  const units = useUnits();
  if (events.length === 0) return <p class="soft">{t.today.noEvents}</p>;
  return (
    <ul class="list">
      {events.map((event) => {
        const piece = event.piece_ids[0];
        const inside = (
          <>
            <span class="name">{eventWords(event, units)}</span>
            <span class="more">{t.ledger.by(event.by, dateTime(event.happened_at, language))}</span>
          </>
        );
        return (
          <li key={event.id}>
            {piece === undefined ? (
              <div class="item">{inside}</div>
            ) : (
              <a class="item" href={link('pieces', piece)}>
                {inside}
              </a>
            )}
          </li>
        );
      })}
    </ul>
  );
}
