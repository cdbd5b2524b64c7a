// SPDX-License-Identifier: Apache-2.0
// A list that comes in pages: the pages read so far as one, and how to read the next.
import { useEffect, useState } from 'preact/hooks';
import type { Page } from '../api/types';
import { useLoad, type Loaded } from './load';

export interface Pages<T> {
  from: Loaded<Page<T>>;
  items: T[];
  more: (() => void) | null;
}

// `path(after)`: the address of the page behind `after`. A new `key` starts anew.
export function usePages<T>(
  key: string,
  path: (after: string | undefined) => string | null,
): Pages<T> {
  const [at, setAt] = useState<{ key: string; after: string | undefined; before: T[] }>({
    key,
    after: undefined,
    before: [],
  });
  const here = at.key === key ? at : { key, after: undefined, before: [] };
  useEffect(() => {
    if (at.key !== key) setAt({ key, after: undefined, before: [] });
  }, [key]);
  const from = useLoad<Page<T>>(path(here.after));
  const items = [...here.before, ...(from.value?.items ?? [])];
  const next = from.value?.next ?? null;
  const more =
    next === null
      ? null
      : () => {
          setAt({ key, after: next, before: items });
        };
  return { from, items, more };
}
