// SPDX-License-Identifier: Apache-2.0
// The room, the pan, the table, and what was written wrongly.
import { expect, inject, it } from 'vitest';
import { signIn } from './house';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

it('a piece is aged, cooked, tasted; a wrong weight is put right; a wrong entry made void', async () => {
  const owner = await signIn(inject('url'), OWNER.name, OWNER.password);
  const made = (await owner.call('POST', 'events', {
    kind: 'received',
    cut: 'rib steak',
    mass_g: 620,
    basis: 'weighed',
    code: 'E2E-AGE-1',
    location: 'cold room 3',
  })) as { pieces: { id: string }[] };
  const { page, close } = await visit({ expectErrors: true });
  await signedIn(page, OWNER.name, OWNER.password);
  await page.goto(`./#/pieces/${made.pieces[0]?.id ?? ''}`);
  const line = page.locator('.time-line');
  const open = (name: string) => page.getByRole('button', { name, exact: true }).click();
  const write = () => open('Write it down');

  await open('Put to age');
  await page.getByLabel(/^Where it ages/).fill('room, shelf 2');
  await write();
  await line.getByText('Put to age in room, shelf 2.').waitFor();
  await page.getByText('ageing', { exact: true }).waitFor();
  await open('Take out of ageing');
  await write();
  await line.getByText('Taken out of the ageing room.').waitFor();

  await open('Weigh');
  await page.getByLabel(/^Weight/).fill('0.160');
  await write();
  await line.getByText('Weighed 160 g.').waitFor();
  const weighed = line.locator('li', { hasText: 'Weighed 160 g.' });
  await weighed.getByText('More').click();
  await weighed.getByRole('button', { name: 'Put right' }).click();
  const dialog = page.getByRole('dialog');
  expect(await dialog.getByLabel(/^Weight/).inputValue()).toBe('0.16');
  await dialog.getByRole('button', { name: 'Put right' }).click();
  await dialog.getByText('Nothing was changed yet.').waitFor();
  await dialog.getByLabel(/^Weight/).fill('0.9');
  await dialog.getByLabel('Why it is put right').fill('figures exchanged');
  await dialog.getByRole('button', { name: 'Put right' }).click();
  await dialog.getByRole('alert').waitFor(); // heavier than it came: the program refuses
  await dialog.getByLabel(/^Weight/).fill('0.610');
  await dialog.getByRole('button', { name: 'Put right' }).click();
  await line.getByText('Corrected an entry: figures exchanged.').waitFor();
  await line.getByText('Weighed 610 g.').waitFor();
  await page.locator('.headline').getByText('610').waitFor();

  await open('Cook');
  await page.getByLabel(/^Doneness/).fill('medium rare');
  await page.getByLabel(/^Weight after cooking/).fill('0.520');
  await write();
  await line.getByText('Cooked medium rare, 520 g after.').waitFor();

  await open('Taste');
  await write();
  await page.getByText('Words or a score are needed.').waitFor();
  await page.getByLabel('What it tastes like').fill('nutty, long');
  await page.getByLabel(/^Score/).fill('120');
  await write();
  await page.getByText('A number from 0 to 100, please.').waitFor();
  await page.getByLabel(/^Score/).fill('84');
  await write();
  await line.getByText('Tasted: nutty, long, 84 of 100.').waitFor();

  const tasted = line.locator('li', { hasText: 'nutty, long' });
  await tasted.getByText('More').click();
  await tasted.getByRole('button', { name: 'Void this entry' }).click();
  await dialog.getByLabel('Why it is void').fill('another plate');
  await dialog.getByRole('button', { name: 'Void this entry' }).click();
  await line.getByText('Made an entry void: another plate.').waitFor();
  await close();
});
