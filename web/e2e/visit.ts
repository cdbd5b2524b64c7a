// SPDX-License-Identifier: Apache-2.0
// A phone's page on the program, watched: no error on the console, no request to anywhere else.
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { expect, inject } from 'vitest';

export interface Visit {
  page: Page;
  context: BrowserContext;
  close: () => Promise<void>; // fails the test where something was wrong meanwhile
}

let browser: Browser | null = null;

async function theBrowser(): Promise<Browser> {
  if (browser?.isConnected() !== true) browser = await chromium.connect(inject('browser'));
  return browser;
}

export interface VisitOptions {
  url?: string;
  width?: number;
  dark?: boolean;
  worker?: boolean; // let the service worker run
  expectErrors?: boolean; // the test provokes refusals, which the browser logs
}

export async function visit(options: VisitOptions = {}): Promise<Visit> {
  const { url = inject('url'), width = 390, dark = false, worker = false } = options;
  const context = await (
    await theBrowser()
  ).newContext({
    baseURL: url,
    viewport: { width, height: width < 600 ? 844 : 900 },
    hasTouch: width < 600,
    colorScheme: dark ? 'dark' : 'light',
    reducedMotion: 'reduce',
    serviceWorkers: worker ? 'allow' : 'block',
    permissions: ['camera'],
    locale: 'en-GB',
  });
  context.setDefaultTimeout(20_000);
  const page = await context.newPage();
  const wrong: string[] = [];
  page.on('pageerror', (error) => wrong.push(String(error)));
  page.on('console', (message) => {
    // before the sign-in the page asks who is signed in, and the browser logs that nobody is
    if (message.type() !== 'error' || /\/api\/v1\/(session|settings)$/.test(message.location().url))
      return;
    if (options.expectErrors !== true) wrong.push(message.text());
  });
  context.on('request', (request) => {
    if (!/^(blob|data):/.test(request.url()) && !request.url().startsWith(url)) {
      wrong.push(`asked elsewhere: ${request.url()}`);
    }
  });
  return {
    page,
    context,
    close: async () => {
      await context.close();
      expect(wrong).toEqual([]);
    },
  };
}

export async function signedIn(page: Page, name: string, password: string): Promise<void> {
  await page.goto('./');
  await page.getByLabel('Name').fill(name);
  await page.getByLabel('Password', { exact: true }).fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('heading', { name: 'Today' }).waitFor();
}
