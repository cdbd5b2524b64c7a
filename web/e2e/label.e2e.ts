// SPDX-License-Identifier: Apache-2.0
// Naming a piece by its label: typed where the browser cannot read labels, else scanned.
import { readFileSync } from 'node:fs';
import { expect, inject, it } from 'vitest';
import { judgedFace, signIn } from './house';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

async function faceAndPiece(code: string): Promise<string> {
  const owner = await signIn(inject('url'), OWNER.name, OWNER.password);
  await owner.call('POST', 'events', { kind: 'received', cut: 'rib', mass_g: 5100, code });
  const photo = await owner.sendPhoto(readFileSync(inject('photos')[1] ?? ''), 'face.jpg');
  return judgedFace(owner, photo);
}

it('where the browser cannot read labels, the label is typed', async () => {
  const face = await faceAndPiece('E2E-TYPED-1');
  const { page, close } = await visit();
  await page.addInitScript(() => {
    Reflect.deleteProperty(globalThis, 'BarcodeDetector');
  });
  await signedIn(page, OWNER.name, OWNER.password);
  await page.goto(`./#/faces/${face}`);
  await page.getByRole('button', { name: 'Keep with a piece' }).click();
  const dialog = page.getByRole('dialog');
  await dialog.getByText('This browser cannot read labels with the camera').waitFor();
  expect(await dialog.getByRole('button', { name: 'Scan its label' }).count()).toBe(0);
  await dialog.getByLabel('Label').fill(' e2e-typed-1 ');
  await page.keyboard.press('Enter');
  await page.getByRole('link', { name: 'Open the piece' }).click();
  await page.getByRole('heading', { name: 'rib E2E-TYPED-1' }).waitFor();
  await close();
});

it('where the browser can, the camera reads it', async () => {
  const face = await faceAndPiece('E2E-SEEN-1');
  const { page, close } = await visit();
  await page.addInitScript(() => {
    // what the browser would find in the camera's picture; the camera itself is the browser's
    class Detector {
      detect(video: HTMLVideoElement) {
        return Promise.resolve(video.videoWidth > 0 ? [{ rawValue: 'E2E-SEEN-1' }] : []);
      }
    }
    Object.assign(globalThis, { BarcodeDetector: Detector });
  });
  await signedIn(page, OWNER.name, OWNER.password);
  await page.goto(`./#/faces/${face}`);
  await page.getByRole('button', { name: 'Keep with a piece' }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Scan its label' }).click();
  await page.getByRole('link', { name: 'Open the piece' }).click();
  await page.getByRole('heading', { name: 'rib E2E-SEEN-1' }).waitFor();
  await close();
});
