// SPDX-License-Identifier: Apache-2.0
// A picture in a frame, zoomed and moved by fingers, wheel, keys or buttons. Layers are drawn in
// photo pixels, whatever the size of the files shown. `onGrab` lets an editor take a press for
// itself (a point being dragged); what it leaves moves the picture.
import type { ComponentChildren } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
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
import { t } from '../text';
import { Button } from './button';
import { MinusIcon, PlusIcon, WholeIcon } from './icons';

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

const STEP = 1.5;
const KEY_PAN = 60; // frame pixels

export function PhotoView(props: PhotoViewProps) {
  const { photo, start, onGrab, onView } = props;
  const box = useRef<HTMLDivElement>(null);
  const [frame, setFrame] = useState<Size>({ width: 0, height: 0 });
  const [view, setView] = useState<View>({ scale: 0, x: 0, y: 0 });
  const now = useRef(view);
  now.current = view;

  const put = (next: View) => {
    now.current = next;
    setView(next);
    onView?.(next);
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

  const at = (event: { clientX: number; clientY: number }): [number, number] => {
    const edge = box.current?.getBoundingClientRect();
    return [event.clientX - (edge?.left ?? 0), event.clientY - (edge?.top ?? 0)];
  };
  const zoom = (factor: number, fx = frame.width / 2, fy = frame.height / 2) => {
    put(zoomedAt(now.current, factor, fx, fy, photo, frame));
  };
  const whole = () => {
    put(fitted(photo, frame));
  };

  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    // not passive: the page must not scroll while the wheel zooms
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const [fx, fy] = at(event);
      zoom(2 ** (-event.deltaY / 300), fx, fy);
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => {
      element.removeEventListener('wheel', onWheel);
    };
  });

  const fingers = useRef(new Map<number, [number, number]>());
  const drag = useRef<Drag | null>(null);

  const onPointerDown = (event: PointerEvent) => {
    if (event.button > 0) return;
    const [fx, fy] = at(event);
    box.current?.setPointerCapture(event.pointerId);
    fingers.current.set(event.pointerId, [fx, fy]);
    if (fingers.current.size === 1) {
      const [x, y] = photoFromFrame(now.current, fx, fy);
      drag.current = onGrab?.(x, y, now.current) ?? null;
    } else {
      drag.current?.end();
      drag.current = null;
    }
  };
  const onPointerMove = (event: PointerEvent) => {
    const before = fingers.current.get(event.pointerId);
    if (before === undefined) return;
    const [fx, fy] = at(event);
    fingers.current.set(event.pointerId, [fx, fy]);
    if (drag.current !== null) {
      drag.current.move(...photoFromFrame(now.current, fx, fy));
      return;
    }
    const other = [...fingers.current].find(([id]) => id !== event.pointerId)?.[1];
    if (other === undefined) {
      put(panned(now.current, fx - before[0], fy - before[1], photo, frame));
      return;
    }
    const was = Math.hypot(before[0] - other[0], before[1] - other[1]);
    const is = Math.hypot(fx - other[0], fy - other[1]);
    const moved = panned(now.current, (fx - before[0]) / 2, (fy - before[1]) / 2, photo, frame);
    now.current = moved;
    if (was > 0) zoom(is / was, (fx + other[0]) / 2, (fy + other[1]) / 2);
    else put(moved);
  };
  const onPointerUp = (event: PointerEvent) => {
    fingers.current.delete(event.pointerId);
    drag.current?.end();
    drag.current = null;
  };

  const onKeyDown = (event: KeyboardEvent) => {
    if (event.target !== event.currentTarget) return;
    const pan: Record<string, [number, number]> = {
      ArrowLeft: [KEY_PAN, 0],
      ArrowRight: [-KEY_PAN, 0],
      ArrowUp: [0, KEY_PAN],
      ArrowDown: [0, -KEY_PAN],
    };
    const by = pan[event.key];
    if (by !== undefined) put(panned(now.current, by[0], by[1], photo, frame));
    else if (event.key === '+' || event.key === '=') zoom(STEP);
    else if (event.key === '-') zoom(1 / STEP);
    else if (event.key === '0') whole();
    else return;
    event.preventDefault();
  };

  return (
    <div class="stack">
      <div
        ref={box}
        class="view"
        role="application"
        aria-label={props.label}
        tabIndex={0}
        onPointerDown={onPointerDown}
        onPointerMove={onPointerMove}
        onPointerUp={onPointerUp}
        onPointerCancel={onPointerUp}
        onKeyDown={onKeyDown}
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
          <Button aria-label={t.face.whole} onClick={whole}>
            <WholeIcon />
          </Button>
        </div>
        {props.tools}
      </div>
    </div>
  );
}
