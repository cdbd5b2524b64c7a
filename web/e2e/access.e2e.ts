// SPDX-License-Identifier: Apache-2.0
// Every screen at phone and desk width, light and dark: no serious finding of axe, nothing cut off
// at the side, every target at least 48 px.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { beforeAll, expect, inject, it } from 'vitest';
import { judgedFace, signIn } from './house';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const SCREENS: [path: string, heading: string][] = [
  ['', 'Today'],
  ['judge', 'Judge a face'],
  ['compare', 'Side by side'],
  ['ledger', 'Ledger'],
  ['ledger/receive', 'Receive a piece'],
  ['ledger/stock', 'Ledger'],
  ['ledger/count', 'Ledger'],
  ['ledger/search', 'Ledger'],
  ['settings', 'Settings'],
  ['users', 'Users'],
];

beforeAll(async () => {
  const owner = await signIn(inject('url'), OWNER.name, OWNER.password);
  const piece = (await owner.call('POST', 'events', {
    kind: 'received',
    cut: 'rib',
    mass_g: 5000,
  })) as {
    pieces: { id: string }[];
  };
  const face = await judgedFace(
    owner,
    await owner.sendPhoto(readFileSync(inject('photos')[0] ?? ''), 'face.jpg'),
  );
  SCREENS.push(
    [`pieces/${piece.pieces[0]?.id ?? ''}`, 'rib'],
    [`faces/${face}`, 'Judged face'],
    [`faces/${face}/edit`, 'Put outlines right'],
  );
});

interface Finding {
  id: string;
  impact: string;
  nodes: { target: string[] }[];
}

const ALL = {
  type: 'tag',
  values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
};
const CONTRAST = { type: 'rule', values: ['color-contrast'] };

async function findings(page: Page, rules: typeof ALL): Promise<string[]> {
  await page.evaluate(axe);
  const found = await page.evaluate(async (runOnly) => {
    interface Axe {
      run: (options: object) => Promise<{ violations: Finding[] }>;
    }
    const { axe: checker } = globalThis as unknown as { axe: Axe };
    return (await checker.run({ runOnly })).violations;
  }, rules);
  return found
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(
      ({ id, nodes }) =>
        `${id}: ${nodes
          .map((node) => node.target.join(' '))
          .slice(0, 3)
          .join(', ')}`,
    );
}

async function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const LEAST = 47.5;
    const seen =
      'button, .button, .nav a, .tabs a, .item[href], .field input, select, summary, .choice label';
    return [...document.querySelectorAll<HTMLElement>(seen)]
      .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < LEAST)
      .map(
        (one) =>
          `${one.tagName} ${one.className} ${one.innerText.slice(0, 30)} ${one.getBoundingClientRect().height}`,
      );
  });
}

for (const [width, dark] of [
  [390, false],
  [390, true],
  [1280, false],
] as const) {
  it(`every screen is sound at ${width} px${dark ? ', dark' : ''}`, async () => {
    const { page, close } = await visit({ width, dark });
    await signedIn(page, OWNER.name, OWNER.password);
    const first = width === 390 && !dark; // the same parts stand on the others
    const wrong: string[] = [];
    for (const [path, heading] of SCREENS) {
      await page.goto(`./#/${path}`);
      await page.getByRole('heading', { name: heading, level: 1 }).waitFor();
      await page.waitForFunction(() => document.querySelector('.busy') === null);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (over > 0) wrong.push(`${path}: ${over} px cut off at the side`);
      wrong.push(...(await findings(page, first ? ALL : CONTRAST)).map((one) => `${path}: ${one}`));
      if (!dark) wrong.push(...(await smallTargets(page)).map((one) => `${path}: small ${one}`));
    }
    expect(wrong).toEqual([]);
    await close();
  });
}
