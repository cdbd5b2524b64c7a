// SPDX-License-Identifier: Apache-2.0
// Sending a photo: its bytes as they are, with the real share that has left (fetch cannot tell, so
// XMLHttpRequest does it). The same key sent again gives the first answer.
import { signedOutBy, url, writeHeaders } from './client';
import { done, failed, troubleFrom, unreachable, type Result } from './result';
import type { Photo } from './types';

const TYPES = new Set(['image/jpeg', 'image/png', 'image/webp', 'image/heic']);

export interface Upload {
  bytes: Blob;
  name: string;
  takenAt: string;
  once: string;
}

export function sendPhoto(
  upload: Upload,
  onShare: (share: number) => void,
): Promise<Result<Photo>> {
  return new Promise((resolve) => {
    const call = new XMLHttpRequest();
    call.open('POST', url('photos', { name: upload.name.slice(0, 200), taken_at: upload.takenAt }));
    for (const [name, value] of Object.entries(writeHeaders(upload.once))) {
      call.setRequestHeader(name, value);
    }
    const type = upload.bytes.type;
    call.setRequestHeader('Content-Type', TYPES.has(type) ? type : 'application/octet-stream');
    call.upload.onprogress = (event) => {
      if (event.lengthComputable && event.total > 0) onShare(event.loaded / event.total);
    };
    call.onload = () => {
      let body: unknown = null;
      try {
        body = JSON.parse(call.responseText);
      } catch {
        body = null;
      }
      if (call.status >= 200 && call.status < 300 && body !== null) {
        resolve(done(body as Photo));
        return;
      }
      signedOutBy(call.status);
      resolve(failed(troubleFrom(call.status, body)));
    };
    call.onerror = call.onabort = () => {
      resolve(failed(unreachable()));
    };
    call.send(upload.bytes);
  });
}
