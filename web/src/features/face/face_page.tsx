// SPDX-License-Identifier: Apache-2.0
// One judged photo: the picture with what was found on it, cautions, numbers with their doubt, odds
// on published scales, signs, the house spec, and what to do with it.
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { Face, Judged } from '../../api/types';
import { useLoad } from '../../app/load';
import { link } from '../../app/route';
import { useMay } from '../../app/session';
import { Ready } from '../../app/trouble';
import { isJudged } from '../../domain/report';
import { dateTime } from '../../format/time';
import { language, t } from '../../text';
import { Button, LinkButton } from '../../ui/button';
import { Choice } from '../../ui/field';
import { CompareIcon, PenIcon, TagIcon } from '../../ui/icons';
import { Notice } from '../../ui/notice';
import { AssignDialog } from './assign';
import { Cautions } from './cautions';
import { FacePicture } from './face_picture';
import { FaceOdds } from './face_odds';
import { Numbers } from './numbers';

export function FacePage({ id }: { id: string }) {
  const read = useLoad<Face>(url(`faces/${id}`));
  return <Ready from={read}>{(face) => <FaceBody face={face} onKept={read.again} />}</Ready>;
}

function FaceBody(props: { face: Face; onKept: () => void }) {
  const { face } = props;
  const { report } = face;
  if (!isJudged(report)) {
    return (
      <Notice kind="fault" title={report.error.message}>
        <p>
          {t.mend} {report.error.mend}
        </p>
      </Notice>
    );
  }
  return <JudgedBody face={face} report={report} onKept={props.onKept} />;
}

function JudgedBody(props: { face: Face; report: Judged; onKept: () => void }) {
  const { face, report } = props;
  const mayJudge = useMay('judge');
  const [which, setWhich] = useState('0');
  const [assigning, setAssigning] = useState(false);
  const shown = report.faces[Number(which)];
  if (shown === undefined) return <Notice kind="care" title={t.face.noFace} />;
  const { scale } = report;
  return (
    <>
      <h1>{face.edited_from === null ? t.face.title : t.face.titleEdited}</h1>
      <div class="columns photo-first">
        <div class="stack">
          <FacePicture face={face} report={report} which={Number(which)} />
          {report.faces.length < 2 ? null : (
            <Choice
              legend={t.face.gone}
              value={which}
              onValue={setWhich}
              options={report.faces.map(
                (_, i) => [String(i), t.face.which(i + 1, report.faces.length)] as const,
              )}
            />
          )}
          <div class="row">
            {mayJudge ? (
              <Button
                first={face.piece_id === null}
                onClick={() => {
                  setAssigning(true);
                }}
              >
                <TagIcon />
                {face.piece_id === null ? t.face.assign : t.face.assignOther}
              </Button>
            ) : null}
            {face.piece_id === null ? null : (
              <LinkButton first href={link('pieces', face.piece_id)}>
                {t.face.openPiece}
              </LinkButton>
            )}
            {mayJudge ? (
              <LinkButton href={link('faces', face.id, 'edit')}>
                <PenIcon />
                {t.face.edit}
              </LinkButton>
            ) : null}
            <LinkButton href={link('compare', face.id)}>
              <CompareIcon />
              {t.face.compare}
            </LinkButton>
          </div>
          <Cautions warnings={report.warnings} />
        </div>
        <div class="stack">
          <Numbers face={shown} />
          <FaceOdds face={shown} />
          <section class="small soft stack">
            <p>
              {scale.source === 'card'
                ? t.face.scaleCard
                : scale.source === 'user'
                  ? t.face.scaleUser
                  : t.face.scaleNone}
              . {t.face.method(report.method.name, report.method.revision)},{' '}
              {t.face.judged(face.judged_by, dateTime(face.judged_at, language))}. {t.safety}
            </p>
            <div class="row">
              {face.edited_from === null ? null : (
                <LinkButton plain href={link('faces', face.edited_from)}>
                  {t.face.earlier}
                </LinkButton>
              )}
              <LinkButton plain href={url(`photos/${face.photo_id}/original`)}>
                {t.face.original}
              </LinkButton>
            </div>
          </section>
        </div>
      </div>
      {assigning ? (
        <AssignDialog
          faceId={face.id}
          onKept={() => {
            setAssigning(false);
            props.onKept();
          }}
          onClose={() => {
            setAssigning(false);
          }}
        />
      ) : null}
    </>
  );
}
