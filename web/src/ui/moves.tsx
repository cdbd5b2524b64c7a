// SPDX-License-Identifier: Apache-2.0
// Moving and zooming what a frame shows: by fingers, wheel, keys, and the buttons of ViewTools.
import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Size } from '../domain/view';
import { t } from '../text';
import { Button } from './button';
import { MinusIcon, PlusIcon, WholeIcon } from './icons';

export interface Moves {
  pan: (dx: number, dy: number) => void; // frame pixels
  zoom: (factor: number, x?: number, y?: number) => void; // about a place; left out: the middle
  whole: () => void;
}
export interface Held {
  move: (x: number, y: number) => void; // frame pixels
  end: () => void;
}

const STEP = 1.5;
const KEY_PAN = 60; // frame pixels
const WHEEL_PX = 300; // turned this far, the scale doubles

export function useFrameSize(box: RefObject<HTMLElement>): Size {
  const [size, setSize] = useState<Size>({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const element = box.current;
    if (element === null) return;
    const measure = () => {
      setSize({ width: element.clientWidth, height: element.clientHeight });
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(element);
    return () => {
      watch.disconnect();
    };
  }, []);
  return size;
}

type On<E extends Event> = E & { currentTarget: HTMLElement };

function placeIn(event: On<MouseEvent>): [number, number] {
  const edge = event.currentTarget.getBoundingClientRect();
  return [event.clientX - edge.left, event.clientY - edge.top];
}

// What the frame listens to. `grab` may take the press of a first finger for itself.
export function useMoves(moves: Moves, grab?: (x: number, y: number) => Held | null) {
  const fingers = useRef(new Map<number, [number, number]>());
  const held = useRef<Held | null>(null);
  const letGo = () => {
    held.current?.end();
    held.current = null;
  };
  const onPointerUp = (event: PointerEvent) => {
    fingers.current.delete(event.pointerId);
    letGo();
  };
  return {
    onPointerDown: (event: On<PointerEvent>) => {
      if (event.button > 0) return;
      const here = placeIn(event);
      event.currentTarget.setPointerCapture(event.pointerId);
      fingers.current.set(event.pointerId, here);
      if (fingers.current.size === 1) held.current = grab?.(...here) ?? null;
      else letGo();
    },
    onPointerMove: (event: On<PointerEvent>) => {
      const before = fingers.current.get(event.pointerId);
      if (before === undefined) return;
      const here = placeIn(event);
      fingers.current.set(event.pointerId, here);
      if (held.current !== null) {
        held.current.move(...here);
        return;
      }
      const [dx, dy] = [here[0] - before[0], here[1] - before[1]];
      const other = [...fingers.current].find(([id]) => id !== event.pointerId)?.[1];
      if (other === undefined) {
        moves.pan(dx, dy);
        return;
      }
      moves.pan(dx / 2, dy / 2);
      const was = Math.hypot(before[0] - other[0], before[1] - other[1]);
      const is = Math.hypot(here[0] - other[0], here[1] - other[1]);
      if (was > 0) moves.zoom(is / was, (here[0] + other[0]) / 2, (here[1] + other[1]) / 2);
    },
    onPointerUp,
    onPointerCancel: onPointerUp,
    onWheel: (event: On<WheelEvent>) => {
      event.preventDefault();
      moves.zoom(2 ** (-event.deltaY / WHEEL_PX), ...placeIn(event));
    },
    onKeyDown: (event: On<KeyboardEvent>) => {
      if (event.target !== event.currentTarget) return;
      const pan: Record<string, [number, number]> = {
        ArrowLeft: [KEY_PAN, 0],
        ArrowRight: [-KEY_PAN, 0],
        ArrowUp: [0, KEY_PAN],
        ArrowDown: [0, -KEY_PAN],
      };
      const by = pan[event.key];
      if (by !== undefined) moves.pan(...by);
      else if (event.key === '+' || event.key === '=') moves.zoom(STEP);
      else if (event.key === '-') moves.zoom(1 / STEP);
      else if (event.key === '0') moves.whole();
      else return;
      event.preventDefault();
    },
  };
}

export function ViewTools({ moves }: { moves: Moves }) {
  return (
    <div class="view-tools">
      <Button
        aria-label={t.face.zoomIn}
        onClick={() => {
          moves.zoom(STEP);
        }}
      >
        <PlusIcon />
      </Button>
      <Button
        aria-label={t.face.zoomOut}
        onClick={() => {
          moves.zoom(1 / STEP);
        }}
      >
        <MinusIcon />
      </Button>
      <Button aria-label={t.face.whole} onClick={moves.whole}>
        <WholeIcon />
      </Button>
    </div>
  );
}
