// SPDX-License-Identifier: Apache-2.0
// Photograph, say what is known, send, follow, see. Where the program does not answer, the photo
// waits on the device.
import { useEffect, useRef, useState } from 'preact/hooks';
import { followJob } from '../../api/events';
import type { Trouble } from '../../api/result';
import type { FaceLine, Job, Page } from '../../api/types';
import { url } from '../../api/client';
import { LatestFaces } from '../../app/face_list';
import { useLoad } from '../../app/load';
import { go, link } from '../../app/route';
import { useHouse, useMay } from '../../app/session';
import { TroubleNotice } from '../../app/trouble';
import { tooMuch, MOST_BYTES, type PhotoSize, type TooMuch } from '../../domain/photo_limits';
import { fixed } from '../../format/measured';
import { keep, newCapture, type Capture } from '../../offline/queue';
import { sendCapture } from '../../offline/send';
import { t } from '../../text';
import { Notice } from '../../ui/notice';
import { CaptureOptions, emptyKnown, optionsFrom, type KnownFacts } from './capture_options';
import { sizeOf } from './photo_size';
import { Preview } from './preview';
import { Progress } from './progress';
import { Queue } from './queue_list';
import { TakePhoto } from './take_photo';

type Phase =
  | { kind: 'ready' }
  | { kind: 'preview'; bytes: Blob; name: string }
  | { kind: 'sending'; share: number }
  | { kind: 'judging'; job: Job }
  | { kind: 'queued' }
  | { kind: 'noRoom' }
  | { kind: 'tooMuch'; what: TooMuch; size: PhotoSize }
  | { kind: 'failed'; trouble: Trouble };

export function JudgePage() {
  const may = useMay('judge');
  const mayRead = useMay('read_ledger');
  const { reach, settings, again } = useHouse();
  const [known, setKnown] = useState<KnownFacts>(emptyKnown);
  const [phase, setPhase] = useState<Phase>({ kind: 'ready' });
  const recent = useLoad<Page<FaceLine>>(mayRead && reach ? url('faces', { limit: 8 }) : null);
  const stop = useRef(new AbortController());
  useEffect(() => {
    const control = new AbortController();
    stop.current = control;
    return () => {
      control.abort();
    };
  }, []);

  const store = async (capture: Capture) => {
    setPhase({ kind: (await keep(capture)) ? 'queued' : 'noRoom' });
  };

  const judge = async (capture: Capture) => {
    const { signal } = stop.current;
    const left = () => signal.aborted;
    setPhase({ kind: 'sending', share: 0 });
    const taken = await sendCapture(capture, (share) => {
      if (!left()) setPhase({ kind: 'sending', share });
    });
    if (left()) return;
    if (!taken.ok) {
      if (taken.trouble.offline) {
        await store(capture);
        again();
      } else setPhase({ kind: 'failed', trouble: taken.trouble });
      return;
    }
    setPhase({ kind: 'judging', job: taken.value });
    const end = await followJob(
      taken.value.id,
      (job) => {
        setPhase({ kind: 'judging', job });
      },
      signal,
    );
    if (left()) return;
    if (!end.ok) {
      setPhase({ kind: 'failed', trouble: end.trouble });
      return;
    }
    const { face_id, error } = end.value;
    if (face_id !== null) go(link('faces', face_id));
    else if (error !== null) {
      const { code, message, where, mend } = error;
      setPhase({
        kind: 'failed',
        trouble: { offline: false, status: 422, code, detail: message, where, mend },
      });
    }
  };

  const facts = optionsFrom(known, settings.units);
  const send = (bytes: Blob, name: string) => {
    if (facts === null) return;
    const capture = newCapture(bytes, name, facts);
    void (reach ? judge(capture) : store(capture));
  };
  const onPhoto = async (bytes: Blob, name: string) => {
    // a file beyond the limit is not even read
    const size =
      bytes.size > MOST_BYTES ? { bytes: bytes.size, width: 0, height: 0 } : await sizeOf(bytes);
    if (stop.current.signal.aborted) return;
    const what = tooMuch(size);
    setPhase(what === null ? { kind: 'preview', bytes, name } : { kind: 'tooMuch', what, size });
  };
  const ready = () => {
    setPhase({ kind: 'ready' });
  };

  return (
    <>
      <h1>{t.judge.title}</h1>
      {!may ? <Notice kind="care" title={t.judge.mayNot} /> : null}
      {may ? (
        <div class="columns">
          <div class="stack">
            {phase.kind === 'failed' ? <TroubleNotice trouble={phase.trouble} /> : null}
            {phase.kind === 'queued' ? <Notice title={t.judge.queued} /> : null}
            {phase.kind === 'noRoom' ? (
              <Notice kind="fault" title={t.judge.noRoom}>
                {t.judge.noRoomMend}
              </Notice>
            ) : null}
            {phase.kind === 'tooMuch' ? <TooMuchNotice {...phase} /> : null}
            {phase.kind === 'preview' ? (
              <Preview
                bytes={phase.bytes}
                keep={!reach}
                disabled={facts === null}
                onSend={() => {
                  send(phase.bytes, phase.name);
                }}
                onRetake={ready}
              />
            ) : phase.kind === 'sending' || phase.kind === 'judging' ? (
              <Progress
                share={phase.kind === 'sending' ? phase.share : null}
                job={phase.kind === 'judging' ? phase.job : null}
              />
            ) : (
              <TakePhoto onPhoto={onPhoto} />
            )}
            <Queue />
          </div>
          <div class="stack">
            <CaptureOptions known={known} onKnown={setKnown} />
          </div>
        </div>
      ) : null}
      {mayRead && reach ? (
        <section class="stack">
          <h2>{t.judge.recent}</h2>
          <LatestFaces from={recent} />
        </section>
      ) : null}
    </>
  );
}

function TooMuchNotice({ what, size }: { what: TooMuch; size: PhotoSize }) {
  const words = t.judge.tooMuch;
  const title = {
    empty: words.empty,
    bytes: words.bytes(fixed(size.bytes / 1e6, 0)),
    pixels: words.pixels(fixed((size.width * size.height) / 1e6, 0)),
  }[what];
  const mend = { empty: words.emptyMend, bytes: words.bytesMend, pixels: words.pixelsMend }[what];
  return (
    <Notice kind="fault" title={title}>
      <p>
        {t.mend} {mend}
      </p>
    </Notice>
  );
}
