// SPDX-License-Identifier: Apache-2.0
import { afterAll, beforeAll, it } from 'vitest';
import { openHouse, type House } from './house';
import { signedIn, visit } from './visit';

let house: House;
beforeAll(async () => {
  house = await openHouse();
});
afterAll(async () => {
  await house.stop();
});

it('the one-time link makes the owner, once; then one signs in and out', async () => {
  const { page, close } = await visit({ url: house.url, expectErrors: true });
  await page.goto('./');
  await page.getByText('Nobody has an account here yet').waitFor();

  await page.goto(house.setupUrl);
  await page.getByLabel('Name to sign in with').fill('M');
  await page.getByLabel('Password', { exact: true }).fill('short');
  await page.getByLabel('Password again').fill('other');
  await page.getByRole('button', { name: 'Make the owner' }).click();
  await page.getByText('At least 10 characters are needed.').waitFor();
  await page.getByText('The two passwords differ.').waitFor();

  await page.getByLabel('Name to sign in with').fill('marit');
  await page.getByLabel('Password', { exact: true }).fill('a slow red ember');
  await page.getByLabel('Password again').fill('a slow red ember');
  await page.getByRole('button', { name: 'Make the owner' }).click();
  await page.getByRole('heading', { name: 'Today' }).waitFor();
  await page.getByText('No face has been judged yet').waitFor();

  await page.getByRole('link', { name: 'Settings' }).click();
  await page.getByRole('button', { name: 'Sign out' }).click();
  await page.getByRole('heading', { name: 'Sign in' }).waitFor();

  await page.goto(house.setupUrl);
  await page.getByText('There is an owner already').waitFor();

  await page.goto('./#/');
  await page.getByLabel('Name').fill('marit');
  await page.getByLabel('Password', { exact: true }).fill('a slow red candle');
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('alert').waitFor();
  await signedIn(page, 'marit', 'a slow red ember');
  await close();
});
