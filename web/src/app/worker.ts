// SPDX-License-Identifier: Apache-2.0
// The service worker from the page's side: registers it and tells when a new version waits.

let waitingWorker: ServiceWorker | null = null;

export function startWorker(onNewVersion: () => void): void {
  if (!('serviceWorker' in navigator) || !window.isSecureContext) return;
  const had = navigator.serviceWorker.controller !== null;
  void navigator.serviceWorker
    .register('./sw.js')
    .then((registration) => {
      const look = (worker: ServiceWorker | null) => {
        if (worker?.state === 'installed' && had) {
          waitingWorker = worker;
          onNewVersion();
        }
      };
      look(registration.waiting);
      registration.addEventListener('updatefound', () => {
        const worker = registration.installing;
        worker?.addEventListener('statechange', () => {
          look(worker);
        });
      });
    })
    .catch(() => undefined); // without it the page works, only not out of reach
}

export function takeNewVersion(): void {
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    location.reload();
  });
  waitingWorker?.postMessage('take over');
}
