// SPDX-License-Identifier: Apache-2.0
// Writing one event to the ledger: the same key until what is written changes or was refused, so
// that a lost answer does not write it twice.
import { useRef, useState } from 'preact/hooks';
import { newKey, request, url } from '../api/client';
import type { Trouble } from '../api/result';
import type { EventDone, NewEvent } from '../api/types';

export interface Writing {
  busy: boolean;
  trouble: Trouble | null;
  write: (event: NewEvent) => Promise<EventDone | null>;
}

export function useWriting(): Writing {
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const last = useRef({ key: newKey(), body: '' });
  const write = async (event: NewEvent) => {
    const body = JSON.stringify(event);
    if (last.current.body !== body) last.current = { key: newKey(), body };
    setBusy(true);
    const answer = await request<EventDone>(url('events'), {
      method: 'POST',
      body: event,
      once: last.current.key,
    });
    setBusy(false);
    if (answer.ok) {
      setTrouble(null);
      last.current = { key: newKey(), body: '' };
      return answer.value;
    }
    setTrouble(answer.trouble);
    if (!answer.trouble.offline) last.current = { key: newKey(), body: '' };
    return null;
  };
  return { busy, trouble, write };
}
