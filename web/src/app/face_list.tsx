// SPDX-License-Identifier: Apache-2.0
// Judged faces as lines: a small picture, when and by whom, the eye's marbling with its interval.
import { url } from '../api/client';
import type { FaceLine, Page } from '../api/types';
import { isKnown, show } from '../format/measured';
import { dateTime } from '../format/time';
import { language, t } from '../text';
import type { Loaded } from './load';
import { link } from './route';
import { useUnits } from './session';
import { Ready } from './trouble';

function Marbling({ line }: { line: FaceLine }) {
  const units = useUnits();
  const q = line.eye_marbling_pct ?? line.marbling_pct;
  if (q === null || !isKnown(q)) return <span class="soft">{t.notKnown}</span>;
  const s = show(q, units);
  return (
    <>
      <b class="number">{`${s.value}\u00a0${s.unit}`}</b>
      <br />
      <span class="soft small number">{t.face.from(s.low, s.high)}</span>
    </>
  );
}

export function FaceItem(props: { line: FaceLine; onPick?: (line: FaceLine) => void }) {
  const { line, onPick } = props;
  const inside = (
    <>
      <img class="thumb" src={url(`photos/${line.photo_id}/picture`)} alt="" loading="lazy" />
      <span>
        <span class="name">{dateTime(line.judged_at, language)}</span>
        <span class="more">
          {line.eye_marbling_pct === null ? t.face.quantity.marbling_pct : t.face.eyeMarbling}
          {line.edited_from === null ? '' : `, ${t.face.byHand}`}
          {line.warnings.length === 0 ? '' : `, ${t.face.warnings(line.warnings.length)}`}
        </span>
      </span>
      <span class="figure">
        <Marbling line={line} />
      </span>
    </>
  );
  if (onPick === undefined) {
    return (
      <a class="item face-item" href={link('faces', line.id)}>
        {inside}
      </a>
    );
  }
  return (
    <button
      type="button"
      class="item face-item"
      onClick={() => {
        onPick(line);
      }}
    >
      {inside}
    </button>
  );
}

export function FaceItems(props: {
  lines: readonly FaceLine[];
  onPick?: (line: FaceLine) => void;
}) {
  return (
    <ul class="list">
      {props.lines.map((line) => (
        <li key={line.id}>
          {props.onPick === undefined ? (
            <FaceItem line={line} />
          ) : (
            <FaceItem line={line} onPick={props.onPick} />
          )}
        </li>
      ))}
    </ul>
  );
}

// The faces judged last, or what to do where there is none.
export function LatestFaces({ from }: { from: Loaded<Page<FaceLine>> }) {
  return (
    <Ready from={from}>
      {({ items }) =>
        items.length === 0 ? <p class="soft">{t.today.noFaces}</p> : <FaceItems lines={items} />
      }
    </Ready>
  );
}
