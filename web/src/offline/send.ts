// SPDX-License-Identifier: Apache-2.0
// From a capture to a job, and the waiting ones in their order. Sending stops at the first that
// finds no answer; one that is refused stays with the reason, for its owner to remove.
import { request, url } from '../api/client';
import type { Result } from '../api/result';
import type { Job } from '../api/types';
import { sendPhoto } from '../api/upload';
import { drop, keep, waiting, type Capture } from './queue';

export async function sendCapture(
  capture: Capture,
  onShare: (share: number) => void,
): Promise<Result<Job>> {
  const { bytes, name, takenAt, id } = capture;
  const photo = await sendPhoto({ bytes, name, takenAt, once: id }, onShare);
  if (!photo.ok) return photo;
  const body = {
    photo_id: photo.value.id,
    options: capture.options,
    ...(capture.pieceId === null ? {} : { piece_id: capture.pieceId }),
  };
  return request<Job>(url('jobs'), { method: 'POST', body, once: capture.jobKey });
}

// Busy, or no longer signed in: nothing is wrong with the photo itself.
const NOT_ITS_FAULT = new Set([401, 408, 429, 500, 502, 503, 504, 507]);

const listeners = new Set<(sent: number) => void>();

// Told how many waiting photos were sent, when some were.
export function onSent(call: (sent: number) => void): () => void {
  listeners.add(call);
  return () => {
    listeners.delete(call);
  };
}

let sending: Promise<number> | null = null;

async function sendAll(): Promise<number> {
  let sent = 0;
  for (const capture of await waiting()) {
    if (capture.refused !== '') continue;
    const job = await sendCapture(capture, () => undefined);
    if (job.ok) {
      await drop(capture.id);
      sent += 1;
    } else if (job.trouble.offline || NOT_ITS_FAULT.has(job.trouble.status)) {
      break;
    } else {
      await keep({ ...capture, refused: job.trouble.detail || job.trouble.code });
    }
  }
  if (sent > 0) for (const call of listeners) call(sent);
  return sent;
}

// How many were sent. Two calls at once are one.
export function sendWaiting(): Promise<number> {
  sending ??= sendAll().finally(() => {
    sending = null;
  });
  return sending;
}
