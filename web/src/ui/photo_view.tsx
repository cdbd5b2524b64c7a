// SPDX-License-Identifier: Apache-2.0
// A picture in a frame, zoomed and moved by fingers, wheel, keys or buttons. Layers are drawn in
// photo pixels, whatever the size of the files shown. `onGrab` lets an editor take a press for
// itself (a point being dragged); what it leaves moves the picture.
import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import {
  fitted,
  kept,
  panned,
  photoFromFrame,
  viewOfBox,
  zoomedAt,
  type Size,
  type View,
} from '../domain/view';
import { useFrameSize, useMoves, ViewTools, type Held } from './moves';

export interface Drag {
  move: (x: number, y: number) => void; // photo pixels
  end: () => void;
}
type Box = readonly [number, number, number, number];

interface PhotoViewProps {
  photo: Size;
  label: string;
  start?: Box | null; // what to show first
  tools?: ComponentChildren;
  onGrab?: (x: number, y: number, view: View) => Drag | null;
  onView?: (view: View) => void;
  children: (view: View) => ComponentChildren;
}

export function PhotoView(props: PhotoViewProps) {
  const { photo, start, onGrab, onView } = props;
  const box = useRef<HTMLDivElement>(null);
  const frame = useFrameSize(box);
  const [view, setView] = useState<View>({ scale: 0, x: 0, y: 0 });
  const now = useRef(view);
  now.current = view;

  const put = (next: View) => {
    now.current = next;
    setView(next);
    onView?.(next);
  };

  const boxKey = start?.join(' ') ?? '';
  useLayoutEffect(() => {
    if (frame.width === 0) return;
    put(
      start === null || start === undefined ? fitted(photo, frame) : viewOfBox(start, photo, frame),
    );
  }, [photo.width, photo.height, boxKey, frame.width === 0]);
  useLayoutEffect(() => {
    if (frame.width > 0 && now.current.scale > 0) put(kept(now.current, photo, frame));
  }, [frame.width, frame.height]);

  const moves = {
    pan: (dx: number, dy: number) => {
      put(panned(now.current, dx, dy, photo, frame));
    },
    zoom: (factor: number, x = frame.width / 2, y = frame.height / 2) => {
      put(zoomedAt(now.current, factor, x, y, photo, frame));
    },
    whole: () => {
      put(fitted(photo, frame));
    },
  };
  const grab = (x: number, y: number): Held | null => {
    const drag = onGrab?.(...photoFromFrame(now.current, x, y), now.current) ?? null;
    if (drag === null) return null;
    return {
      move: (toX, toY) => {
        drag.move(...photoFromFrame(now.current, toX, toY));
      },
      end: drag.end,
    };
  };
  const listeners = useMoves(moves, grab);

  return (
    <div class="stack">
      <div
        ref={box}
        class="view"
        role="application"
        aria-label={props.label}
        tabIndex={0}
        {...listeners}
      >
        {view.scale > 0 ? (
          <div
            class="plane"
            style={{
              width: `${photo.width}px`,
              height: `${photo.height}px`,
              transform: `translate(${view.x}px, ${view.y}px) scale(${view.scale})`,
            }}
          >
            {props.children(view)}
          </div>
        ) : null}
      </div>
      <div class="row apart view-row">
        <ViewTools moves={moves} />
        {props.tools}
      </div>
    </div>
  );
}
