// SPDX-License-Identifier: Apache-2.0
// Zoom and pan of a picture in a frame. A View maps photo pixels to frame pixels:
// frame = scale * photo + (x, y). Scale stays between "all of it in the frame" and MAX_SCALE frame
// pixels a photo pixel; the picture never leaves the frame's middle empty. Pure functions.

export interface Size {
  width: number;
  height: number;
}
export interface View {
  scale: number;
  x: number;
  y: number;
}

export const MAX_SCALE = 8;

export function fitScale(photo: Size, frame: Size): number {
  if (photo.width <= 0 || photo.height <= 0) return 1;
  return Math.min(frame.width / photo.width, frame.height / photo.height);
}

export function fitted(photo: Size, frame: Size): View {
  return kept({ scale: fitScale(photo, frame), x: 0, y: 0 }, photo, frame);
}

// The view with its scale in range and, along each axis, the picture centred where it is smaller
// than the frame and covering the frame where it is larger.
export function kept(view: View, photo: Size, frame: Size): View {
  const least = fitScale(photo, frame);
  const scale = Math.min(Math.max(view.scale, least), Math.max(MAX_SCALE, least));
  const axis = (at: number, size: number, room: number) =>
    size <= room ? (room - size) / 2 : Math.min(0, Math.max(room - size, at));
  return {
    scale,
    x: axis(view.x, photo.width * scale, frame.width),
    y: axis(view.y, photo.height * scale, frame.height),
  };
}

// Zoom by `factor` so that the photo point under frame point (fx, fy) stays there.
export function zoomedAt(
  view: View,
  factor: number,
  fx: number,
  fy: number,
  photo: Size,
  frame: Size,
): View {
  const least = fitScale(photo, frame);
  const scale = Math.min(Math.max(view.scale * factor, least), Math.max(MAX_SCALE, least));
  const real = scale / view.scale;
  return kept({ scale, x: fx - (fx - view.x) * real, y: fy - (fy - view.y) * real }, photo, frame);
}

export function panned(view: View, dx: number, dy: number, photo: Size, frame: Size): View {
  return kept({ scale: view.scale, x: view.x + dx, y: view.y + dy }, photo, frame);
}

export function photoFromFrame(view: View, fx: number, fy: number): [number, number] {
  return [(fx - view.x) / view.scale, (fy - view.y) / view.scale];
}

// The view that shows a box of the photo (left, top, right, bottom) with a margin round it.
export function viewOfBox(
  box: readonly [number, number, number, number],
  photo: Size,
  frame: Size,
  margin = 0.06,
): View {
  const [left, top, right, bottom] = box;
  const width = (right - left) * (1 + 2 * margin);
  const height = (bottom - top) * (1 + 2 * margin);
  const scale = Math.min(frame.width / width, frame.height / height);
  const cx = (left + right) / 2;
  const cy = (top + bottom) / 2;
  return kept(
    { scale, x: frame.width / 2 - cx * scale, y: frame.height / 2 - cy * scale },
    photo,
    frame,
  );
}
