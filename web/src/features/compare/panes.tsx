// SPDX-License-Identifier: Apache-2.0
// Both pictures at one scale in frames of one size; zooming or moving one moves the other.
import { useEffect, useRef, useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { Face } from '../../api/types';
import { useUnits } from '../../app/session';
import { isJudged, outlineOf } from '../../domain/report';
import { boundsOf, pathOf } from '../../domain/ring';
import { barMm, paneOf, sharedFit, viewIn, type SharedView } from '../../domain/side_by_side';
import type { Size } from '../../domain/view';
import { fixed, isKnown } from '../../format/measured';
import { t } from '../../text';
import { useFrameSize, useMoves, ViewTools } from '../../ui/moves';

const MM_PER_INCH = 25.4;

interface Shown {
  face: Face;
  box: readonly [number, number, number, number];
  size: Size;
  outline: string;
  pxPerMm: number | null;
}

function shownOf(face: Face): Shown | null {
  const { report } = face;
  if (!isJudged(report)) return null;
  const judged = report.faces[0];
  const outline = judged === undefined ? [] : outlineOf(judged.outline_px);
  const box = boundsOf(outline);
  if (box === null) return null;
  const q = report.scale.px_per_mm;
  return {
    face,
    box,
    size: { width: report.width_px ?? 0, height: report.height_px ?? 0 },
    outline: pathOf(outline),
    pxPerMm: q !== null && isKnown(q) ? q.value : null,
  };
}

export function Panes({ faces }: { faces: readonly [Face, Face] }) {
  const units = useUnits();
  const box = useRef<HTMLDivElement>(null);
  const frame = useFrameSize(box);
  const [shared, setShared] = useState<SharedView | null>(null);
  const both = faces.map(shownOf).filter((one): one is Shown => one !== null);
  const scaled = both.length === 2 && both.every((one) => one.pxPerMm !== null);
  const panes = both.map((one) => paneOf(one.box, scaled ? one.pxPerMm : null));
  const whole = () => {
    if (frame.width > 0 && panes.length === 2) setShared(sharedFit(panes, frame));
  };
  useEffect(whole, [frame.width, frame.height]);
  const moves = {
    pan: (dx: number, dy: number) => {
      setShared((now) => now && { ...now, dx: now.dx - dx / now.zoom, dy: now.dy - dy / now.zoom });
    },
    // about the middle, wherever the fingers are: the two faces share no other place
    zoom: (factor: number) => {
      setShared((now) => now && { ...now, zoom: Math.min(80, Math.max(0.2, now.zoom * factor)) });
    },
    whole,
  };
  const listeners = useMoves(moves);

  const bar =
    shared === null
      ? 0
      : barMm(units === 'us' ? shared.zoom * MM_PER_INCH : shared.zoom, frame.width * 0.4);
  const barPx = shared === null ? 0 : bar * shared.zoom * (units === 'us' ? MM_PER_INCH : 1);
  const barWords = `${fixed(bar, bar < 1 ? 1 : 0)}\u00a0${units === 'us' ? 'in' : 'mm'}`;
  return (
    <section class="stack">
      <div class="panes">
        {both.map((one, i) => {
          const pane = panes[i];
          const view = shared === null || pane === undefined ? null : viewIn(pane, shared, frame);
          return (
            <figure key={i}>
              <div
                ref={i === 0 ? box : null}
                class="view"
                role="application"
                tabIndex={0}
                aria-label={`${i === 0 ? t.compare.first : t.compare.second}. ${t.face.viewer}`}
                {...listeners}
              >
                {view === null ? null : (
                  <div
                    class="plane"
                    style={{
                      width: `${one.size.width}px`,
                      height: `${one.size.height}px`,
                      transform: `translate(${view.x}px, ${view.y}px) scale(${view.scale})`,
                    }}
                  >
                    <img
                      src={url(`photos/${one.face.photo_id}/picture`)}
                      alt=""
                      draggable={false}
                    />
                    <svg
                      viewBox={`0 0 ${one.size.width} ${one.size.height}`}
                      style={{ '--px': `${1 / view.scale}` }}
                      aria-hidden="true"
                    >
                      <path d={one.outline} class="outline-under" />
                      <path d={one.outline} class="outline-face" />
                    </svg>
                  </div>
                )}
                {scaled ? (
                  <span class="bar" style={{ width: `${barPx}px` }}>
                    {barWords}
                  </span>
                ) : null}
              </div>
              <figcaption>{i === 0 ? t.compare.first : t.compare.second}</figcaption>
            </figure>
          );
        })}
      </div>
      <ViewTools moves={moves} />
      <p class="soft small">{scaled ? t.compare.sameScale(barWords) : t.compare.noScale}</p>
    </section>
  );
}
