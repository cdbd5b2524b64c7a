// SPDX-License-Identifier: Apache-2.0
// Photos that wait on this device, with why one was refused, sent at once or removed by hand.
import { useState } from 'preact/hooks';
import { useHouse } from '../../app/session';
import { dateTime } from '../../format/time';
import { drop } from '../../offline/queue';
import { sendWaiting } from '../../offline/send';
import { useQueue } from '../../offline/use_queue';
import { language, t } from '../../text';
import { Button } from '../../ui/button';
import { Dialog } from '../../ui/dialog';

export function Queue() {
  const queue = useQueue();
  const { reach } = useHouse();
  const [removing, setRemoving] = useState<string | null>(null);
  if (queue.length === 0) return null;
  return (
    <section class="sheet">
      <h2>{t.judge.queue}</h2>
      <ul class="stack">
        {queue.map((capture) => (
          <li key={capture.id} class="row apart">
            <span>
              {t.judge.taken(dateTime(capture.takenAt, language))}
              {capture.refused === '' ? null : (
                <span class="wrong"> {t.judge.refusedBefore(capture.refused)}</span>
              )}
            </span>
            <Button
              plain
              onClick={() => {
                setRemoving(capture.id);
              }}
            >
              {t.judge.remove}
            </Button>
          </li>
        ))}
      </ul>
      <div class="row">
        <Button disabled={!reach} onClick={() => void sendWaiting()}>
          {t.judge.sendNow}
        </Button>
      </div>
      {removing === null ? null : (
        <Dialog
          title={t.judge.removeSure}
          onClose={() => {
            setRemoving(null);
          }}
        >
          <div class="row">
            <Button
              fault
              onClick={() => {
                void drop(removing);
                setRemoving(null);
              }}
            >
              {t.judge.remove}
            </Button>
            <Button
              onClick={() => {
                setRemoving(null);
              }}
            >
              {t.cancel}
            </Button>
          </div>
        </Dialog>
      )}
    </section>
  );
}
