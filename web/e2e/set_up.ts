// SPDX-License-Identifier: Apache-2.0
// Once for all browser tests: the photos, the program with its owner, the browser. The photos are
// phantoms that the program draws, made smaller so that each is judged in about a second; one of
// them is what the browser's camera sees.
import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { chromium, type Browser } from 'playwright-core';
import type { TestProject } from 'vitest/node';
import { makeOwner, openHouse, program } from './house';

const run = promisify(execFile);
const LONG_PX = 1500; // longer side of the photos sent
export const OWNER = { name: 'marit', password: 'salt and slow fire' };
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';

declare module 'vitest' {
  interface ProvidedContext {
    url: string;
    browser: string;
    photos: string[];
  }
}

async function drawn(folder: string, seed: number): Promise<string> {
  const out = join(folder, `seed-${seed}`);
  await run(program, [
    'phantom',
    '--seed',
    `${seed}`,
    '--cut',
    'rib',
    '--difficulty',
    'easy',
    '--card',
    '--out',
    out,
  ]);
  return join(out, 'photo.jpg');
}

async function smaller(browser: Browser, path: string): Promise<Buffer> {
  const page = await browser.newPage();
  const source = `data:image/jpeg;base64,${readFileSync(path).toString('base64')}`;
  const made = await page.evaluate(
    async ([data, long]) => {
      const whole = await createImageBitmap(await (await fetch(data)).blob());
      const share = long / Math.max(whole.width, whole.height);
      const canvas = document.createElement('canvas');
      canvas.width = Math.round(whole.width * share);
      canvas.height = Math.round(whole.height * share);
      const paper = canvas.getContext('2d');
      if (paper === null) throw new Error('no canvas');
      paper.imageSmoothingQuality = 'high';
      paper.drawImage(whole, 0, 0, canvas.width, canvas.height);
      return canvas.toDataURL('image/jpeg', 0.93);
    },
    [source, LONG_PX] as const,
  );
  await page.close();
  return Buffer.from(made.split(',')[1] ?? '', 'base64');
}

export default async function setUp({ provide }: TestProject) {
  const folder = mkdtempSync(join(tmpdir(), 'ribwright-photos-'));
  const plain = await chromium.launch({ executablePath: CHROMIUM, args: ['--no-sandbox'] });
  const photos = await Promise.all(
    [4, 7].map(async (seed) => {
      const path = join(folder, `face-${seed}.jpg`);
      writeFileSync(path, await smaller(plain, await drawn(folder, seed)));
      return path;
    }),
  );
  await plain.close();
  // a stream of JPEG pictures is what the fake camera takes
  const film = join(folder, 'camera.mjpeg');
  writeFileSync(film, readFileSync(photos[0] ?? ''));
  const server = await chromium.launchServer({
    executablePath: CHROMIUM,
    args: [
      '--no-sandbox',
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      `--use-file-for-fake-video-capture=${film}`,
    ],
  });
  const house = await openHouse();
  await makeOwner(house, OWNER.name, OWNER.password);
  provide('url', house.url);
  provide('browser', server.wsEndpoint());
  provide('photos', photos);
  return async () => {
    await server.close();
    await house.stop();
    rmSync(folder, { recursive: true, force: true });
  };
}
