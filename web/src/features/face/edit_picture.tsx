// SPDX-License-Identifier: Apache-2.0
// The outline being edited over the photo, with its handles. A press within REACH of a handle takes
// the nearest one; any other press moves the picture. Handles stand HANDLE_GAP apart on the screen,
// so zooming in gives more of them.
import { useMemo, useRef, useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { Face, Judged } from '../../api/types';
import type { Edit } from '../../domain/edit';
import { boundsOf, handlesOf, moveHandle, pathOf, type Ring } from '../../domain/ring';
import type { View } from '../../domain/view';
import { t } from '../../text';
import { PhotoView, type Drag } from '../../ui/photo_view';
import { photoSize } from './face_picture';

const REACH = 30; // frame pixels round a handle: a target of 60
const HANDLE_GAP = 56;
const RADIUS = 9;

interface EditPictureProps {
  face: Face;
  report: Judged;
  edit: Edit;
  which: number;
  onMoved: (ring: Ring) => void;
}

export function EditPicture(props: EditPictureProps) {
  const { face, report, edit, which, onMoved } = props;
  const { width, height } = photoSize(report);
  const ring = edit.rings[which];
  const points = ring?.points ?? [];
  const [scale, setScale] = useState(0);
  // handles are spread along the ring as it was when it was chosen or the zoom changed
  const gap = scale > 0 ? HANDLE_GAP / 2 ** Math.round(Math.log2(scale)) : Infinity;
  const handles = useMemo(() => handlesOf(points, gap), [which, gap, points.length]);
  const [held, setHeld] = useState<number | null>(null);
  const [draft, setDraft] = useState<Ring | null>(null);
  const last = useRef<Ring | null>(null);
  const shown = draft ?? points;

  const grab = (x: number, y: number, view: View): Drag | null => {
    let nearest = -1;
    let least = REACH / view.scale;
    handles.forEach((index, k) => {
      const point = points[index];
      if (point === undefined) return;
      const gone = Math.hypot(point[0] - x, point[1] - y);
      if (gone < least) {
        least = gone;
        nearest = k;
      }
    });
    if (nearest < 0) return null;
    setHeld(nearest);
    last.current = null;
    return {
      move: (toX, toY) => {
        last.current = moveHandle(points, handles, nearest, toX - x, toY - y, width, height);
        setDraft(last.current);
      },
      end: () => {
        setHeld(null);
        setDraft(null);
        if (last.current !== null) onMoved(last.current);
      },
    };
  };

  const nudge = (k: number, event: KeyboardEvent) => {
    const far = (event.shiftKey ? 10 : 2) / Math.max(scale, 0.05);
    const by: Record<string, [number, number]> = {
      ArrowLeft: [-far, 0],
      ArrowRight: [far, 0],
      ArrowUp: [0, -far],
      ArrowDown: [0, far],
    };
    const step = by[event.key];
    if (step === undefined) return;
    event.preventDefault();
    onMoved(moveHandle(points, handles, k, step[0], step[1], width, height));
  };

  const start = useMemo(() => boundsOf([points]), [which]);
  const others = edit.rings.filter((_, i) => i !== which).map((other) => other.points);

  return (
    <PhotoView
      photo={{ width, height }}
      label={t.face.viewer}
      start={start}
      onGrab={grab}
      onView={(view) => {
        setScale(view.scale);
      }}
    >
      {(view) => (
        <>
          <img src={url(`photos/${face.photo_id}/picture`)} alt="" draggable={false} />
          <svg viewBox={`0 0 ${width} ${height}`} style={{ '--px': `${1 / view.scale}` }}>
            <path d={pathOf(others)} class="outline-rest" />
            <path d={pathOf([shown])} class="outline-edited" />
            {handles.map((index, k) => {
              const point = shown[index];
              return point === undefined ? null : (
                <circle
                  key={index}
                  cx={point[0]}
                  cy={point[1]}
                  r={RADIUS / view.scale}
                  class={held === k ? 'handle held' : 'handle'}
                  tabindex={0}
                  role="button"
                  aria-label={t.edit.point(k + 1, handles.length)}
                  onKeyDown={(event) => {
                    nudge(k, event);
                  }}
                />
              );
            })}
          </svg>
        </>
      )}
    </PhotoView>
  );
}
