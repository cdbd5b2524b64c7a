// SPDX-License-Identifier: Apache-2.0
// What the program takes as a photo, told before its bytes leave the device. The limits are those
// of the program (src/photo/decode.h), which looks itself too. Pure.

export const MOST_BYTES = 64_000_000;
export const MOST_PIXELS = 100_000_000;

export interface PhotoSize {
  bytes: number;
  width: number; // 0: not known here (the browser cannot read the format)
  height: number;
}

export type TooMuch = 'empty' | 'bytes' | 'pixels';

export function tooMuch(size: PhotoSize): TooMuch | null {
  if (size.bytes === 0) return 'empty';
  if (size.bytes > MOST_BYTES) return 'bytes';
  return size.width * size.height > MOST_PIXELS ? 'pixels' : null;
}
