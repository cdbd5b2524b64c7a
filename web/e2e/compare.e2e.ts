// SPDX-License-Identifier: Apache-2.0
import { readFileSync } from 'node:fs';
import { beforeAll, expect, inject, it } from 'vitest';
import { judgedFace, signIn } from './house';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

const faces: string[] = [];
beforeAll(async () => {
  const owner = await signIn(inject('url'), OWNER.name, OWNER.password);
  for (const path of inject('photos')) {
    faces.push(await judgedFace(owner, await owner.sendPhoto(readFileSync(path), 'face.jpg')));
  }
});

it('two faces stand side by side at one scale, with differences and their doubt', async () => {
  const { page, close } = await visit();
  await signedIn(page, OWNER.name, OWNER.password);
  await page.goto('./#/compare');
  await page.getByRole('heading', { name: 'Pick the first face' }).waitFor();
  await page.locator('.face-item').nth(0).click();
  await page.getByRole('heading', { name: 'Pick the second face' }).waitFor();
  await page.locator('.face-item').nth(0).click();
  await page.getByText('Both at the same scale').waitFor();
  await page.goto(`./#/compare/${faces[0] ?? ''}/${faces[1] ?? ''}`);
  await page.getByRole('heading', { name: 'In words' }).waitFor();
  await page.getByRole('heading', { name: 'Marbling of the eye' }).waitFor();
  await page
    .getByText(/^(not )?told apart$/)
    .first()
    .waitFor();
  await page
    .getByText(/^second greater with/)
    .first()
    .waitFor();

  // a millimetre is as long on the left as on the right, also after zooming one
  const mm = async () => {
    const reports = await Promise.all(
      faces.map((id) => page.request.get(`api/v1/faces/${id}`).then((answer) => answer.json())),
    );
    const scales = await page
      .locator('.plane')
      .evaluateAll((planes) =>
        planes.map((plane) => new DOMMatrix(getComputedStyle(plane).transform).a),
      );
    return reports.map(
      (face: { report: { scale: { px_per_mm: { value: number } } } }, i) =>
        (scales[i] ?? 0) * face.report.scale.px_per_mm.value,
    );
  };
  const [left = 0, right = 1] = await mm();
  expect(left / right).toBeCloseTo(1, 3);
  await page.getByRole('application').first().focus();
  await page.keyboard.press('+');
  const [zoomed = 0, other = 1] = await mm();
  expect(zoomed / left).toBeCloseTo(1.5, 2);
  expect(zoomed / other).toBeCloseTo(1, 3);

  await page.getByRole('link', { name: 'Swap' }).click();
  await page.waitForURL(`**/compare/${faces[1] ?? ''}/${faces[0] ?? ''}`);
  await close();
});
