// SPDX-License-Identifier: Apache-2.0
// What a screen reads: busy, then a value or the trouble; again() reads anew while the old value
// stays on the page.
import { useCallback, useContext, useEffect, useState } from 'preact/hooks';
import { request } from '../api/client';
import type { Trouble } from '../api/result';
import { HouseContext } from './session';

export interface Loaded<T> {
  value: T | null;
  etag: string;
  trouble: Trouble | null;
  busy: boolean;
  again: () => void;
  put: (value: T) => void;
}

// `path` null: nothing to read yet.
export function useLoad<T>(path: string | null): Loaded<T> {
  const [state, setState] = useState<{ path: string | null; value: T | null; etag: string }>({
    path,
    value: null,
    etag: '',
  });
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [busy, setBusy] = useState(path !== null);
  const [turn, setTurn] = useState(0);
  const reach = useContext(HouseContext)?.reach ?? true; // back in reach: read anew
  useEffect(() => {
    if (path === null) return;
    const stop = new AbortController();
    setBusy(true);
    void request<T>(path, { signal: stop.signal }).then((answer) => {
      if (stop.signal.aborted) return;
      setBusy(false);
      if (answer.ok) {
        setTrouble(null);
        setState({ path, value: answer.value, etag: answer.etag ?? '' });
      } else {
        setTrouble(answer.trouble);
      }
    });
    return () => {
      stop.abort();
    };
  }, [path, turn, reach]);
  const again = useCallback(() => {
    setTurn((n) => n + 1);
  }, []);
  const put = useCallback(
    (value: T) => {
      setState({ path, value, etag: '' });
    },
    [path],
  );
  const here = state.path === path;
  return {
    value: here ? state.value : null,
    etag: here ? state.etag : '',
    trouble,
    busy,
    again,
    put,
  };
}
