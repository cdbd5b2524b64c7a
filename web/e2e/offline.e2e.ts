// SPDX-License-Identifier: Apache-2.0
import { expect, inject, it } from 'vitest';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

it('out of reach the page opens and keeps photos; back in reach it sends each once', async () => {
  const { page, context, close } = await visit({ worker: true, expectErrors: true });
  await signedIn(page, OWNER.name, OWNER.password);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  // the first visit was not the worker's yet
  await page.reload();
  await page.getByRole('heading', { name: 'Today' }).waitFor();
  const judged = async () => {
    const answer = await page.request.get('api/v1/faces?limit=500');
    return ((await answer.json()) as { items: unknown[] }).items.length;
  };
  const before = await judged();

  await context.setOffline(true);
  await page.reload();
  await page.getByText('Out of reach').waitFor();
  await page.getByRole('link', { name: 'Judge' }).click();
  for (const path of inject('photos')) {
    await page.getByLabel('Choose a photo').setInputFiles(path);
    await page.getByRole('button', { name: 'Keep it to send later' }).click();
    await page.getByText('Kept on this device').waitFor();
  }
  await page.getByRole('link', { name: '2 photos wait' }).waitFor();
  // they outlive the page
  await page.reload();
  await page.getByRole('link', { name: '2 photos wait' }).waitFor();

  await context.setOffline(false);
  await page.getByText('2 waiting photos were sent').waitFor();
  await page.getByRole('link', { name: /photos? waits?/ }).waitFor({ state: 'detached' });
  await page.waitForFunction(
    (wanted) =>
      fetch('api/v1/faces?limit=500')
        .then((answer) => answer.json())
        .then((list: { items: unknown[] }) => list.items.length === wanted),
    before + 2,
  );
  await close();
});

it('a photo whose sending breaks off waits, and is kept once by the program', async () => {
  const { page, context, close } = await visit({ expectErrors: true });
  await signedIn(page, OWNER.name, OWNER.password);
  await page.goto('./#/judge');
  // the program takes the photo, but its answer is lost on the way
  await context.route('**/api/v1/photos?**', async (route) => {
    if (route.request().method() === 'POST') {
      await route.fetch();
      await route.abort('connectionreset');
    } else await route.continue();
  });
  await page.getByLabel('Choose a photo').setInputFiles(inject('photos')[0] ?? '');
  await page.getByRole('button', { name: 'Judge this photo' }).click();
  await page.getByRole('link', { name: '1 photo waits' }).waitFor();
  await context.unroute('**/api/v1/photos?**');
  await page.getByRole('button', { name: 'Send now' }).click();
  await page.getByText('1 waiting photo was sent').waitFor();
  const photos = (await (await page.request.get('api/v1/photos?limit=500')).json()) as {
    items: { id: string }[];
  };
  const ids = photos.items.map((photo) => photo.id);
  expect(new Set(ids).size).toBe(ids.length);
  await close();
});
