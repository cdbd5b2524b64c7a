// SPDX-License-Identifier: Apache-2.0
// Photos beyond what the program takes: told in the page before anything is sent.
import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { expect, it } from 'vitest';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

// The check sum of PNG chunks (ISO/IEC 15948, annex D).
function crc32(bytes: Buffer): number {
  let sum = 0xffffffff;
  for (const byte of bytes) {
    sum ^= byte;
    for (let bit = 0; bit < 8; bit += 1) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
  }
  return (sum ^ 0xffffffff) >>> 0;
}

function chunk(name: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(name, 'latin1'), data]);
  const size = Buffer.alloc(4);
  size.writeUInt32BE(data.length);
  const sum = Buffer.alloc(4);
  sum.writeUInt32BE(crc32(body));
  return Buffer.concat([size, body, sum]);
}

// A black PNG of one bit a pixel: many pixels in few bytes.
function blackPng(width: number, height: number): Buffer {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head[8] = 1;
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', head),
    chunk('IDAT', deflateSync(Buffer.alloc((Math.ceil(width / 8) + 1) * height))),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

it('a photo with too many bytes or pixels is refused in the page, and nothing is sent', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'ribwright-large-'));
  const { page, close } = await visit();
  await signedIn(page, OWNER.name, OWNER.password);
  const sent: string[] = [];
  page.on('request', (request) => {
    if (request.method() === 'POST') sent.push(request.url());
  });
  await page.goto('./#/judge');
  const choose = page.getByLabel('Choose a photo');
  const alert = page.getByRole('alert');

  const heavy = join(folder, 'heavy.jpg');
  writeFileSync(heavy, '');
  truncateSync(heavy, 65_000_000);
  await choose.setInputFiles(heavy);
  await alert.getByText('The photo has 65 MB; at most 64 MB can be judged.').waitFor();
  await alert.getByText('What helps: Save it as JPEG').waitFor();

  const wide = join(folder, 'wide.png');
  writeFileSync(wide, blackPng(12_000, 10_000));
  await choose.setInputFiles(wide);
  await alert.getByText('The photo has 120 megapixels; at most 100 can be judged.').waitFor();
  await alert.getByText('What helps: Choose a smaller picture size').waitFor();

  const empty = join(folder, 'empty.jpg');
  writeFileSync(empty, '');
  await choose.setInputFiles(empty);
  await alert.getByText('The file is empty.').waitFor();
  expect(await page.getByRole('button', { name: 'Judge this photo' }).count()).toBe(0);
  expect(sent).toEqual([]);
  rmSync(folder, { recursive: true });
  await close();
});
