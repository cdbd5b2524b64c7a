// SPDX-License-Identifier: Apache-2.0
// How large a photo is: the browser reads the size from the file's head; nothing is decoded for it.
import type { PhotoSize } from '../../domain/photo_limits';

export function sizeOf(bytes: Blob): Promise<PhotoSize> {
  return new Promise((resolve) => {
    const image = new Image();
    const source = URL.createObjectURL(bytes);
    const done = () => {
      URL.revokeObjectURL(source);
      resolve({ bytes: bytes.size, width: image.naturalWidth, height: image.naturalHeight });
    };
    image.onload = done;
    image.onerror = done;
    image.src = source;
  });
}
