// SPDX-License-Identifier: Apache-2.0
// Two photos at one scale: a shared View in millimetres on the board, turned into each photo's own
// View. Where a photo has no scale, its face's width stands for 100 units in both, and the page
// says so. Pure functions.
import type { Size, View } from './view';

export interface Pane {
  centre: [number, number]; // of the face, photo pixels
  pxPerUnit: number; // photo pixels a millimetre, or a hundredth of the face's width
  size: [number, number]; // of the face, units
}

export interface SharedView {
  zoom: number; // frame pixels a unit
  dx: number; // where the frame's middle looks, units from the face's centre
  dy: number;
}

export function paneOf(
  box: readonly [number, number, number, number],
  pxPerMm: number | null,
): Pane {
  const [left, top, right, bottom] = box;
  const pxPerUnit = pxPerMm ?? Math.max(1, right - left) / 100;
  return {
    centre: [(left + right) / 2, (top + bottom) / 2],
    pxPerUnit,
    size: [(right - left) / pxPerUnit, (bottom - top) / pxPerUnit],
  };
}

// Both faces whole in a frame of this size.
export function sharedFit(panes: readonly Pane[], frame: Size): SharedView {
  const widest = Math.max(...panes.map((pane) => pane.size[0]));
  const tallest = Math.max(...panes.map((pane) => pane.size[1]));
  return { zoom: 0.94 * Math.min(frame.width / widest, frame.height / tallest), dx: 0, dy: 0 };
}

export function viewIn(pane: Pane, shared: SharedView, frame: Size): View {
  const scale = shared.zoom / pane.pxPerUnit;
  return {
    scale,
    x: frame.width / 2 - scale * (pane.centre[0] + shared.dx * pane.pxPerUnit),
    y: frame.height / 2 - scale * (pane.centre[1] + shared.dy * pane.pxPerUnit),
  };
}

// The longest of 1, 2, 5 x 10^n millimetres that fits in `room` frame pixels.
export function barMm(zoom: number, room: number): number {
  const most = room / zoom;
  const decade = 10 ** Math.floor(Math.log10(most));
  return [5, 2, 1].map((k) => k * decade).find((mm) => mm <= most) ?? decade;
}
