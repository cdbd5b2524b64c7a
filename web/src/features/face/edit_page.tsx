// SPDX-License-Identifier: Apache-2.0
// Putting outlines right by hand and measuring within them. Only outlines that were moved are sent;
// a moved outline replaces its kind for the face, so its unmoved siblings go along as they are.
import { useRef, useState } from 'preact/hooks';
import { newKey, request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import type { Face, Judged } from '../../api/types';
import { useLoad } from '../../app/load';
import { go, link } from '../../app/route';
import { Ready, TroubleNotice } from '../../app/trouble';
import { editsOf, isTouched, startEdit, withRing, type Edit, type Target } from '../../domain/edit';
import { isJudged } from '../../domain/report';
import { t } from '../../text';
import { Button, LinkButton } from '../../ui/button';
import { Select } from '../../ui/field';
import { UndoIcon } from '../../ui/icons';
import { Busy, Notice } from '../../ui/notice';
import { EditPicture } from './edit_picture';

export function EditPage({ id }: { id: string }) {
  const read = useLoad<Face>(url(`faces/${id}`));
  return (
    <Ready from={read}>
      {(face) =>
        isJudged(face.report) && face.report.faces.length > 0 ? (
          <Editor face={face} report={face.report} />
        ) : (
          <Notice kind="care" title={t.face.noFace} />
        )
      }
    </Ready>
  );
}

function nameOf(target: Target, report: Judged): string {
  const many = report.faces.length > 1 ? ` ${target.face + 1}` : '';
  const muscle =
    target.muscle === null ? undefined : report.faces[target.face]?.muscles[target.muscle];
  const what = muscle === undefined ? t.edit.face : t.face.muscle[muscle.name];
  return `${what}${many}${target.ring === 0 ? '' : t.edit.hole(target.ring + 1)}`;
}

function Editor({ face, report }: { face: Face; report: Judged }) {
  const [history, setHistory] = useState<Edit[]>([startEdit(report)]);
  const [at, setAt] = useState('0');
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const once = useRef(newKey());
  const now = history.at(-1) ?? startEdit(report);
  const targets = now.rings.map((ring) => ring.target);
  const touched = isTouched(now);

  const measure = async () => {
    setBusy(true);
    const body = editsOf(now, report);
    const answer = await request<Face>(url(`faces/${face.id}/edits`), {
      method: 'POST',
      body,
      once: once.current,
    });
    setBusy(false);
    if (answer.ok) {
      go(link('faces', answer.value.id), true);
      return;
    }
    setTrouble(answer.trouble);
    if (!answer.trouble.offline) once.current = newKey();
  };

  return (
    <>
      <h1>{t.edit.title}</h1>
      <div class="columns photo-first">
        <EditPicture
          face={face}
          report={report}
          edit={now}
          which={Number(at)}
          onMoved={(ring) => {
            once.current = newKey();
            setHistory([...history, withRing(now, Number(at), ring)]);
          }}
        />
        <div class="stack">
          <Select
            label={t.edit.which}
            value={at}
            options={targets.map((target, i) => [String(i), nameOf(target, report)] as const)}
            onValue={setAt}
          />
          <p class="soft">{t.edit.words}</p>
          {trouble === null ? null : <TroubleNotice trouble={trouble} />}
          {busy ? <Busy words={t.edit.measuring} /> : null}
          <div class="row">
            <Button
              disabled={history.length < 2 || busy}
              onClick={() => {
                once.current = newKey();
                setHistory(history.slice(0, -1));
              }}
            >
              <UndoIcon />
              {t.edit.undo}
            </Button>
            <Button first disabled={!touched || busy} onClick={measure}>
              {t.edit.measure}
            </Button>
          </div>
          {touched ? null : <p class="soft small">{t.edit.nothing}</p>}
          <LinkButton plain href={link('faces', face.id)}>
            {t.edit.leave}
          </LinkButton>
        </div>
      </div>
    </>
  );
}
