// SPDX-License-Identifier: Apache-2.0
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { expect, it } from 'vitest';
import { root } from './house';

const LIMIT_KB = 250;

it(`the whole front is at most ${LIMIT_KB} kB gzip'd`, () => {
  const dist = join(root, 'web/dist');
  const files = readdirSync(dist, { recursive: true, encoding: 'utf8' })
    .map((name) => join(dist, name))
    .filter((path) => statSync(path).isFile());
  expect(files.length).toBeGreaterThan(4);
  const bytes = files.reduce((sum, path) => sum + gzipSync(readFileSync(path)).length, 0);
  console.info(`front: ${(bytes / 1000).toFixed(1)} kB gzip'd in ${files.length} files`);
  expect(bytes / 1000).toBeLessThanOrEqual(LIMIT_KB);
});
