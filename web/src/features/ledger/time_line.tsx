// SPDX-License-Identifier: Apache-2.0
// What happened to a piece, newest first. A void entry stays, struck through.
import type { LedgerEvent } from '../../api/types';
import { useUnits } from '../../app/session';
import { dateTime } from '../../format/time';
import { language, t } from '../../text';
import { eventWords } from '../../text/event_words';
import { Button } from '../../ui/button';

export function TimeLine(props: {
  events: readonly LedgerEvent[];
  onVoid: ((event: LedgerEvent) => void) | null;
}) {
  const { events, onVoid } = props;
  const units = useUnits();
  const newestFirst = [...events].sort((a, b) => b.happened_at.localeCompare(a.happened_at));
  return (
    <ol class="time-line">
      {newestFirst.map((event) => (
        <li key={event.id} class={event.voided_by === null ? '' : 'void'}>
          <p>
            <b>{t.ledger.kind[event.kind]}</b>
            {event.voided_by === null ? '' : ` (${t.ledger.voided})`}
            {event.corrected_by === null ? '' : ` (${t.ledger.corrected})`}
          </p>
          <p class="words">{eventWords(event, units)}</p>
          {event.note === '' ? null : <p class="soft">{event.note}</p>}
          <p class="soft small">{t.ledger.by(event.by, dateTime(event.happened_at, language))}</p>
          <details class="source small soft">
            <summary>{t.ledger.hash}</summary>
            <p class="hash">{event.hash}</p>
            {onVoid === null || event.voided_by !== null || event.kind === 'voided' ? null : (
              <Button
                fault
                onClick={() => {
                  onVoid(event);
                }}
              >
                {t.ledger.void}
              </Button>
            )}
          </details>
        </li>
      ))}
    </ol>
  );
}
