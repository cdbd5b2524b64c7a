// SPDX-License-Identifier: Apache-2.0
// One piece: what it is now, what to write down, its time line, its faces, its kin.
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { LedgerEvent, Piece, PieceDetail } from '../../api/types';
import { FaceItems } from '../../app/face_list';
import { useLoad } from '../../app/load';
import { link } from '../../app/route';
import { useMay, useUnits } from '../../app/session';
import { Ready } from '../../app/trouble';
import { mass } from '../../format/mass';
import { money } from '../../format/money';
import { date, dateTime, wholeDaysBetween } from '../../format/time';
import { language, t } from '../../text';
import { LinkButton } from '../../ui/button';
import { BackIcon } from '../../ui/icons';
import { Actions } from './actions';
import { CorrectDialog } from './correct_dialog';
import { TimeLine } from './time_line';
import { TraceSection } from './trace';
import { VoidDialog } from './void_dialog';
import { WeightPlot } from './weight_plot';

export function PiecePage({ id }: { id: string }) {
  const read = useLoad<PieceDetail>(url(`pieces/${id}`));
  return <Ready from={read}>{(detail) => <Body detail={detail} onWritten={read.again} />}</Ready>;
}

function Body({ detail, onWritten }: { detail: PieceDetail; onWritten: () => void }) {
  const { piece, events, faces } = detail;
  const mayCorrect = useMay('correct');
  const [amended, setAmended] = useState<{ event: LedgerEvent; how: 'correct' | 'void' } | null>(
    null,
  );
  const close = () => {
    setAmended(null);
  };
  const amending = {
    piece: piece.id,
    correct: (event: LedgerEvent) => {
      setAmended({ event, how: 'correct' });
    },
    void: (event: LedgerEvent) => {
      setAmended({ event, how: 'void' });
    },
  };
  const Amend = amended?.how === 'void' ? VoidDialog : CorrectDialog;
  return (
    <>
      <div class="row">
        <LinkButton plain href={link('ledger')} aria-label={t.ledger.title}>
          <BackIcon />
        </LinkButton>
        <h1>
          {piece.cut} <span class="soft">{piece.code}</span>
        </h1>
      </div>
      <div class="columns">
        <div class="stack">
          <Facts piece={piece} />
          <Actions piece={piece} onWritten={onWritten} />
          {faces.length === 0 ? null : (
            <section class="stack">
              <h2>{t.ledger.faces}</h2>
              <FaceItems lines={faces} />
            </section>
          )}
          <TraceSection detail={detail} />
        </div>
        <div class="stack">
          <WeightPlot events={events} />
          <section class="stack">
            <h2>{t.ledger.history}</h2>
            <TimeLine events={events} amending={mayCorrect ? amending : null} />
          </section>
        </div>
      </div>
      {amended === null ? null : (
        <Amend
          event={amended.event}
          piece={piece.id}
          onClose={close}
          onDone={() => {
            close();
            onWritten();
          }}
        />
      )}
    </>
  );
}

function Facts({ piece }: { piece: Piece }) {
  const units = useUnits();
  const days = Math.max(0, wholeDaysBetween(piece.received_at, new Date().toISOString()));
  const facts: [string, string][] = [
    [t.ledger.place, piece.location],
    [t.ledger.age, t.ledger.days(days)],
    [t.ledger.received, date(piece.received_at, language)],
    [t.ledger.aged, piece.aged_days > 0 ? t.ledger.days(Math.floor(piece.aged_days)) : ''],
    [t.ledger.slaughtered, piece.slaughtered === null ? '' : date(piece.slaughtered, language)],
    [t.ledger.cost, piece.cost === null ? '' : money(piece.cost, language)],
    [t.ledger.supplier, piece.supplier],
    [t.ledger.lot, piece.lot],
    [t.ledger.note, piece.note],
  ];
  return (
    <section class="sheet">
      <p class="headline">
        <b class="number">{mass(piece.mass_g, units)}</b>{' '}
        <span class="badge">{t.ledger.state[piece.state]}</span>
      </p>
      <dl class="facts">
        {facts
          .filter(([, value]) => value !== '')
          .map(([name, value]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </div>
          ))}
      </dl>
      <p class="soft small">
        {t.ledger.mass} {t.ledger.basis[piece.basis]}, {dateTime(piece.mass_at, language)}
      </p>
    </section>
  );
}
