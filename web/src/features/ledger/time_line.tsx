// SPDX-License-Identifier: Apache-2.0
// What happened to a piece, newest first. A void entry stays, struck through.
import type { LedgerEvent } from '../../api/types';
import { useUnits } from '../../app/session';
import { dateTime } from '../../format/time';
import { language, t } from '../../text';
import { eventWords } from '../../text/event_words';
import { Button } from '../../ui/button';
import { canCorrect } from './correct_dialog';

export interface Amending {
  piece: string;
  correct: (event: LedgerEvent) => void;
  void: (event: LedgerEvent) => void;
}

export function TimeLine(props: { events: readonly LedgerEvent[]; amending: Amending | null }) {
  const { events, amending } = props;
  const units = useUnits();
  const newestFirst = [...events].sort((a, b) => b.happened_at.localeCompare(a.happened_at));
  return (
    <ol class="time-line">
      {newestFirst.map((event) => (
        <li key={event.id} class={event.voided_by === null ? '' : 'void'}>
          <p>
            <b class="words">{eventWords(event, units)}</b>
            {event.voided_by === null ? '' : ` (${t.ledger.voided})`}
            {event.corrected_by === null ? '' : ` (${t.ledger.corrected})`}
          </p>
          {event.note === '' ? null : <p class="soft">{event.note}</p>}
          <p class="soft small">{t.ledger.by(event.by, dateTime(event.happened_at, language))}</p>
          <details class="source small soft">
            <summary>{t.ledger.more}</summary>
            {amending === null ? null : <Amend event={event} amending={amending} />}
            <p>{t.ledger.hash}</p>
            <p class="hash">{event.hash}</p>
          </details>
        </li>
      ))}
    </ol>
  );
}

function Amend({ event, amending }: { event: LedgerEvent; amending: Amending }) {
  if (event.voided_by !== null || event.kind === 'voided') return null;
  return (
    <div class="row">
      {canCorrect(event, amending.piece) ? (
        <Button
          onClick={() => {
            amending.correct(event);
          }}
        >
          {t.ledger.correct}
        </Button>
      ) : null}
      <Button
        fault
        onClick={() => {
          amending.void(event);
        }}
      >
        {t.ledger.void}
      </Button>
    </div>
  );
}
