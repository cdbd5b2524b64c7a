// SPDX-License-Identifier: Apache-2.0
// Both pictures at one scale in frames of one size; zooming or moving one moves the other.
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { Face } from '../../api/types';
import { useUnits } from '../../app/session';
import { isJudged, outlineOf } from '../../domain/report';
import { boundsOf, pathOf } from '../../domain/ring';
import { barMm, paneOf, sharedFit, viewIn, type SharedView } from '../../domain/side_by_side';
import type { Size } from '../../domain/view';
import { fixed, isKnown } from '../../format/measured';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { MinusIcon, PlusIcon, WholeIcon } from '../../ui/icons';

const STEP = 1.5;
const MM_PER_INCH = 25.4;
const KEY_PAN = 40; // frame pixels

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
  const [frame, setFrame] = useState<Size>({ width: 0, height: 0 });
  const [shared, setShared] = useState<SharedView | null>(null);
  const both = faces.map(shownOf).filter((one): one is Shown => one !== null);
  const scaled = both.length === 2 && both.every((one) => one.pxPerMm !== null);
  const panes = both.map((one) => paneOf(one.box, scaled ? one.pxPerMm : null));
  const fit = () => {
    if (frame.width > 0 && panes.length === 2) setShared(sharedFit(panes, frame));
  };

  useLayoutEffect(() => {
    const element = box.current;
    if (element === null) return;
    const measure = () => {
      setFrame({ width: element.clientWidth, height: element.clientHeight });
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(element);
    return () => {
      watch.disconnect();
    };
  }, []);
  useEffect(fit, [frame.width, frame.height]);

  const zoom = (factor: number) => {
    if (shared !== null)
      setShared({ ...shared, zoom: Math.min(80, Math.max(0.2, shared.zoom * factor)) });
  };
  const move = (dx: number, dy: number) => {
    if (shared !== null)
      setShared({ ...shared, dx: shared.dx - dx / shared.zoom, dy: shared.dy - dy / shared.zoom });
  };

  const fingers = useRef(new Map<number, [number, number]>());
  const onPointerMove = (event: PointerEvent) => {
    const before = fingers.current.get(event.pointerId);
    if (before === undefined) return;
    const here: [number, number] = [event.clientX, event.clientY];
    const other = [...fingers.current].find(([id]) => id !== event.pointerId)?.[1];
    fingers.current.set(event.pointerId, here);
    if (other === undefined) {
      move(here[0] - before[0], here[1] - before[1]);
      return;
    }
    const was = Math.hypot(before[0] - other[0], before[1] - other[1]);
    if (was > 0) zoom(Math.hypot(here[0] - other[0], here[1] - other[1]) / was);
  };
  const lift = (event: PointerEvent) => {
    fingers.current.delete(event.pointerId);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const pan: Record<string, [number, number]> = {
      ArrowLeft: [KEY_PAN, 0],
      ArrowRight: [-KEY_PAN, 0],
      ArrowUp: [0, KEY_PAN],
      ArrowDown: [0, -KEY_PAN],
    };
    const by = pan[event.key];
    if (by !== undefined) move(...by);
    else if (event.key === '+' || event.key === '=') zoom(STEP);
    else if (event.key === '-') zoom(1 / STEP);
    else if (event.key === '0') fit();
    else return;
    event.preventDefault();
  };

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
                onPointerDown={(event) => {
                  event.currentTarget.setPointerCapture(event.pointerId);
                  fingers.current.set(event.pointerId, [event.clientX, event.clientY]);
                }}
                onPointerMove={onPointerMove}
                onPointerUp={lift}
                onPointerCancel={lift}
                onKeyDown={onKeyDown}
                onWheel={(event) => {
                  event.preventDefault();
                  zoom(2 ** (-event.deltaY / 300));
                }}
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
      <div class="view-tools">
        <Button
          aria-label={t.face.zoomIn}
          onClick={() => {
            zoom(STEP);
          }}
        >
          <PlusIcon />
        </Button>
        <Button
          aria-label={t.face.zoomOut}
          onClick={() => {
            zoom(1 / STEP);
          }}
        >
          <MinusIcon />
        </Button>
        <Button aria-label={t.face.whole} onClick={fit}>
          <WholeIcon />
        </Button>
      </div>
      <p class="soft small">{scaled ? t.compare.sameScale(barWords) : t.compare.noScale}</p>
    </section>
  );
}
