// SPDX-License-Identifier: Apache-2.0
// Where in the page one is: the address behind `#`, so that every screen has its own link, back
// works, and the program serves one file whatever the screen.
import { useEffect, useState } from 'preact/hooks';

export interface Route {
  parts: string[];
  query: URLSearchParams;
}

export function routeFrom(hash: string): Route {
  const [path = '', search = ''] = hash.replace(/^#\/?/, '').split('?', 2);
  const parts = path.split('/').filter((part) => part !== '');
  return {
    parts: parts.map((part) => decodeURIComponent(part)),
    query: new URLSearchParams(search),
  };
}

export function link(...parts: string[]): string {
  return `#/${parts.map((part) => encodeURIComponent(part)).join('/')}`;
}

export function go(to: string, replace = false): void {
  if (replace) location.replace(to);
  else location.hash = to;
}

export function useRoute(): Route {
  const [hash, setHash] = useState(location.hash);
  useEffect(() => {
    const take = () => {
      setHash(location.hash);
    };
    addEventListener('hashchange', take);
    return () => {
      removeEventListener('hashchange', take);
    };
  }, []);
  return routeFrom(hash);
}
