// SPDX-License-Identifier: Apache-2.0
// Keeps the page's own files on the device, so that it opens without the program. It answers for
// nothing else: what the API says always comes from the program. The build writes the two names
// below. A new version waits until the page says 'take over'.
declare const self: ServiceWorkerGlobalScope;

const FILES = '@SHELL_FILES@' as unknown as string[];
const VERSION = '@SHELL_VERSION@';
const CACHE = `ribwright-shell-${VERSION}`;

self.addEventListener('install', (event) => {
  event.waitUntil(
    caches
      .open(CACHE)
      .then((cache) => cache.addAll(FILES.map((file) => new Request(file, { cache: 'reload' })))),
  );
});

self.addEventListener('activate', (event) => {
  const tidy = async () => {
    const names = await caches.keys();
    await Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
    await self.clients.claim();
  };
  event.waitUntil(tidy());
});

self.addEventListener('message', (event) => {
  if (event.data === 'take over') void self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET') return;
  const scope = new URL(self.registration.scope);
  const asked = new URL(request.url);
  if (asked.origin !== scope.origin) return;
  const path = asked.pathname.slice(scope.pathname.length);
  const known = path === '' ? './' : `./${path}`;
  if (!FILES.includes(known)) return;
  const answer = async () => {
    const cache = await caches.open(CACHE);
    return (await cache.match(known)) ?? fetch(request);
  };
  event.respondWith(answer());
});

export {};
