// SPDX-License-Identifier: Apache-2.0
// What the front set itself, measured on the build at hand: size, and the first view on a processor
// slowed four times, nothing cached, through the program itself. One line each: name | measured |
// limit | ok or short. Exit 0 all ok, 1 any short, 3 could not be measured.
import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { chromium } from 'playwright-core';

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const SIZE_KB = 250;
const VIEW_S = 1.5;
const SLOWED = 4;
const TRIES = 5; // the median counts

let short = false;
function line(name, measured, limit, unit) {
  const ok = measured <= limit;
  short ||= !ok;
  const shown = `${measured.toFixed(unit === 's' ? 2 : 1)} ${unit}`.padStart(14);
  const most = `<= ${limit} ${unit}`.padStart(18);
  console.log(`${name.padEnd(68)} | ${shown} | ${most} | ${ok ? 'ok' : 'short'}`);
}

function size() {
  const dist = join(root, 'web/dist');
  return readdirSync(dist, { recursive: true })
    .map((name) => join(dist, name))
    .filter((path) => statSync(path).isFile())
    .reduce((sum, path) => sum + gzipSync(readFileSync(path)).length, 0);
}

async function served(data) {
  const child = spawn(
    join(root, 'build/release/ribwright'),
    ['serve', '--data', data, '--port', '0'],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  let said = '';
  for await (const chunk of child.stdout) {
    said += chunk;
    if (said.includes('Stop with Ctrl-C')) break;
  }
  return { child, url: /serves at (\S+?)\/?\s/.exec(said)[1], token: /token=(\S+)/.exec(said)[1] };
}

// Seconds from the request for the page until its heading is painted.
async function firstView(browser, url, cookie) {
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    serviceWorkers: 'block',
  });
  await context.addCookies([{ name: cookie[0], value: cookie[1], url }]);
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  await page.goto(url, { waitUntil: 'commit' });
  await page.locator('h1').waitFor();
  const seconds = await page.evaluate(
    () =>
      new Promise((resolve) =>
        requestAnimationFrame(() => requestAnimationFrame(() => resolve(performance.now() / 1000))),
      ),
  );
  await context.close();
  return seconds;
}

const data = mkdtempSync(join(tmpdir(), 'ribwright-reach-'));
const house = await served(data);
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox'],
});
try {
  line("web: front gzip'd", size() / 1000, SIZE_KB, 'kB');
  const answer = await fetch(`${house.url}/api/v1/setup`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ token: house.token, name: 'marit', password: 'a slow red ember' }),
  });
  if (!answer.ok) throw new Error(await answer.text());
  const cookie = answer.headers.get('set-cookie').split(';')[0].split('=');
  const tries = [];
  for (let i = 0; i < TRIES; i++) tries.push(await firstView(browser, house.url, cookie));
  tries.sort((a, b) => a - b);
  line(
    `web: first view, processor slowed ${SLOWED} times`,
    tries[Math.floor(TRIES / 2)],
    VIEW_S,
    's',
  );
} catch (error) {
  console.error(error);
  process.exitCode = 3;
} finally {
  await browser.close();
  house.child.kill('SIGTERM');
  await new Promise((resolve) => house.child.on('exit', resolve));
  rmSync(data, { recursive: true, force: true });
}
process.exitCode ||= short ? 1 : 0;
