// SPDX-License-Identifier: Apache-2.0
// The way of a photo: from the phone to a judged face, its layers and numbers, an outline put right
// by hand, the piece it is kept with.
import type { Page } from 'playwright-core';
import { expect, inject, it } from 'vitest';
import { signIn } from './house';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

async function judgePhoto(page: Page): Promise<void> {
  await page.goto('./#/judge');
  await page.getByLabel('Choose a photo').setInputFiles(inject('photos')[0] ?? '');
  await page.getByAltText('The photo about to be judged').waitFor();
  await page.getByLabel('Thickness of the piece').fill('38');
  await page.getByRole('button', { name: 'Judge this photo' }).click();
  await page.getByRole('heading', { name: 'Judged face' }).waitFor();
}

it('a photo from a file becomes a judged face with layers, numbers, doubt and sources', async () => {
  const { page, close } = await visit();
  await signedIn(page, OWNER.name, OWNER.password);
  const shares: string[] = [];
  await page.exposeFunction('seen', (words: string) => shares.push(words));
  await page.evaluate(() => {
    const seen = (globalThis as unknown as { seen: (words: string) => void }).seen;
    new MutationObserver(() => {
      const status = document.querySelector('section[role=status] h2');
      if (status !== null) seen(status.textContent);
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  await judgePhoto(page);
  expect(shares).toContain('Sending the photo');
  expect(
    shares.some((words) => words === 'measuring the face' || words === 'reading the photo'),
  ).toBe(true);

  const marbling = page.locator('details.quantity', { hasText: 'Marbling' }).first();
  expect(await marbling.locator('b.number').innerText()).toMatch(/^\d+(\.\d+)?\s%$/);
  await marbling.getByText(/^\d+(\.\d+)? to \d+(\.\d+)?$/).waitFor();
  await marbling.locator('summary').click();
  await marbling.getByText('How:').waitFor();
  await page.getByText('Official grades are given only by graders.').waitFor();
  await page.getByRole('heading', { name: 'US quality grade', exact: true }).waitFor();

  const layers = page.getByRole('group', { name: 'Layers' });
  const fat = page.locator('.plane img[src*="/layers/fat"]');
  expect(
    await fat.evaluate((img: HTMLImageElement) => img.decode().then(() => img.naturalWidth)),
  ).toBeGreaterThan(100);
  await layers.getByRole('button', { name: 'Fat' }).click();
  await fat.waitFor({ state: 'detached' });
  await layers.getByRole('button', { name: 'Cover' }).click();
  const cover = page.locator('.plane img[src*="/layers/cover"]');
  expect(
    await cover.evaluate((img: HTMLImageElement) => img.decode().then(() => img.naturalWidth)),
  ).toBeGreaterThan(100);

  const view = page.getByRole('application');
  const scale = () =>
    page.locator('.plane').evaluate((plane) => new DOMMatrix(getComputedStyle(plane).transform).a);
  const before = await scale();
  await view.focus();
  await page.keyboard.press('+');
  expect((await scale()) / before).toBeCloseTo(1.5, 1);
  await page.keyboard.press('0');
  expect(await scale()).toBeLessThanOrEqual(before);
  await page.getByRole('button', { name: 'Zoom in' }).click();
  await page.mouse.move(200, 200);
  await close();
});

it('an outline is put right by hand, measured again, and kept with a piece', async () => {
  const owner = await signIn(inject('url'), OWNER.name, OWNER.password);
  await owner.call('POST', 'events', {
    kind: 'received',
    cut: 'rib',
    mass_g: 6240,
    code: 'E2E-RIB-1',
    location: 'cold room 1',
  });
  const { page, close } = await visit();
  await signedIn(page, OWNER.name, OWNER.password);
  await judgePhoto(page);
  const areaOf = async () => {
    const group = page.locator('details.group', { hasText: 'The whole face' });
    const row = group.locator('details.quantity', { hasText: 'Area of the face' });
    return parseFloat(await row.locator('b.number').innerText());
  };
  const area = await areaOf();

  await page.getByRole('link', { name: 'Put outlines right' }).click();
  await page.getByRole('heading', { name: 'Put outlines right' }).waitFor();
  const measure = page.getByRole('button', { name: 'Measure again' });
  expect(await measure.isDisabled()).toBe(true);

  // by hand: the point furthest right is drawn well into the face
  const handles = page.locator('circle.handle');
  const boxes = await handles.evaluateAll((all) =>
    all.map((one) => {
      const { left, top, width } = one.getBoundingClientRect();
      return [left + width / 2, top + width / 2] as const;
    }),
  );
  const [x, y] = boxes.reduce((right, one) => (one[0] > right[0] ? one : right));
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 60, y, { steps: 4 });
  await page.mouse.up();
  expect(await measure.isEnabled()).toBe(true);

  // with the keyboard, and back again
  await handles.first().focus();
  const at = await handles.first().getAttribute('cx');
  await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Shift+ArrowRight');
  expect(await handles.first().getAttribute('cx')).not.toBe(at);
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.getByRole('button', { name: 'Undo' }).click();
  expect(await handles.first().getAttribute('cx')).toBe(at);

  const from = performance.now();
  await measure.click();
  await page.getByRole('heading', { name: 'outlines put right by hand' }).waitFor();
  console.info(`measured again in ${((performance.now() - from) / 1000).toFixed(2)} s`);
  expect(await areaOf()).toBeLessThan(area);

  await page.getByRole('button', { name: 'Keep with a piece' }).click();
  const dialog = page.getByRole('dialog');
  await dialog.getByLabel('Label').fill('no-such');
  await dialog.getByRole('button', { name: 'Find' }).click();
  await dialog.getByText('No piece has the label “NO-SUCH”.').waitFor();
  await dialog.getByLabel('Label').fill('e2e-rib-1');
  await dialog.getByRole('button', { name: 'Find' }).click();
  await page.getByRole('link', { name: 'Open the piece' }).click();
  await page.getByRole('heading', { name: 'rib E2E-RIB-1' }).waitFor();
  await page.locator('.face-item').waitFor();
  expect(await page.locator('.face-item').count()).toBe(1);
  await page
    .locator('.time-line')
    .getByText(/^Judged with method/)
    .waitFor();
  await close();
});

it('the camera in the page takes the photo', async () => {
  const { page, close } = await visit();
  await signedIn(page, OWNER.name, OWNER.password);
  await page.getByRole('link', { name: 'Photograph a face' }).click();
  await page.getByRole('button', { name: 'Open the camera' }).click();
  await page.getByRole('button', { name: 'Take the photo' }).click();
  const preview = page.getByAltText('The photo about to be judged');
  const width = await preview.evaluate((img: HTMLImageElement) =>
    img.decode().then(() => img.naturalWidth),
  );
  expect(width).toBeGreaterThan(800);
  await page.getByRole('button', { name: 'Judge this photo' }).click();
  await page.getByRole('heading', { name: 'Judged face' }).waitFor();
  await close();
});

it('a file that is no photo is refused with what helps', async () => {
  const { page, close } = await visit({ expectErrors: true });
  await signedIn(page, OWNER.name, OWNER.password);
  await page.goto('./#/judge');
  const none = {
    name: 'steak.jpg',
    mimeType: 'image/jpeg',
    buffer: Buffer.from('no photo at all'),
  };
  await page.getByLabel('Choose a photo').setInputFiles(none);
  await page.getByRole('button', { name: 'Judge this photo' }).click();
  const alert = page.getByRole('alert');
  await alert.waitFor();
  await alert.getByText('What helps:').waitFor();
  await page.getByRole('button', { name: 'Open the camera' }).waitFor();
  await close();
});
