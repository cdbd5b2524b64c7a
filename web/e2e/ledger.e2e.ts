// SPDX-License-Identifier: Apache-2.0
import { expect, it } from 'vitest';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

it('a piece is received, weighed, cut with every gram accounted for, found, and counted', async () => {
  const { page, close } = await visit({ expectErrors: true });
  await signedIn(page, OWNER.name, OWNER.password);
  await page.getByRole('link', { name: 'Ledger' }).click();
  await page.getByRole('link', { name: 'Receive a piece' }).click();
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('This is needed.').waitFor();
  await page.getByLabel(/^Cut/).fill('strip loin');
  await page.getByLabel(/^Weight/).fill('3,120');
  await page.getByLabel('Place', { exact: true }).fill('cold room 2');
  await page.getByLabel(/^Cost/).fill('61.50');
  await page.getByLabel(/^Supplier/).fill('North Hill Farm');
  await page.getByLabel(/^Label/).fill('e2e-strip-1');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByRole('heading', { name: 'strip loin E2E-STRIP-1' }).waitFor();
  const line = page.locator('.time-line');
  await line.getByText('Received: strip loin, 3.120 kg, from North Hill Farm.').waitFor();

  await page.getByRole('button', { name: 'Weigh' }).click();
  await page.getByLabel(/^Weight/).fill('3.100');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await line.getByText('Weighed 3.100 kg.').waitFor();
  await page.getByRole('heading', { name: 'Weight over time' }).waitFor();
  await page.locator('.uplot canvas').waitFor();

  await page.getByRole('button', { name: 'Cut up' }).click();
  const parts = page.locator('fieldset.part');
  for (const [i, mass] of ['0.340', '2.100'].entries()) {
    await parts.nth(i).getByLabel(/^Cut/).fill('steak');
    await parts
      .nth(i)
      .getByLabel(/^Weight/)
      .fill(mass);
  }
  await page.getByText('+660 g are not accounted for').waitFor();
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByRole('alert').waitFor(); // the program refuses it too
  await parts
    .nth(1)
    .getByLabel(/^Weight/)
    .fill('2.740');
  await page.getByLabel(/^Loss/).fill('0.020');
  await page.getByText('Every gram is accounted for.').waitFor();
  await page.getByRole('button', { name: 'Write it down' }).click();
  await line.getByText('Cut into 2 parts, 20 g lost.').waitFor();
  await page.getByRole('heading', { name: 'Cut into' }).waitFor();
  await page.getByRole('link', { name: /^steak.*340 g/ }).click();
  await page.getByRole('heading', { name: /^steak/ }).waitFor();
  await page.getByRole('button', { name: 'Trace' }).click();
  await page
    .getByRole('link', { name: /E2E-STRIP-1/ })
    .first()
    .waitFor();

  await page.goto('./#/ledger/search');
  await page.getByLabel('Words, labels, lots, suppliers').fill('North Hill');
  await page.getByRole('button', { name: 'Search' }).click();
  await page
    .getByRole('link', { name: /E2E-STRIP-1/ })
    .first()
    .waitFor();

  await page.goto('./#/ledger/stock');
  await page.getByRole('button', { name: 'Set par for steak, cold room 2' }).click();
  await page.getByLabel(/^Par/).fill('5');
  await page.getByRole('button', { name: 'Save' }).click();
  await page.getByText('1.920 kg short').waitFor();

  await page.goto('./#/ledger/count');
  await page.getByLabel('Place to count').selectOption('cold room 2');
  await page.getByRole('button', { name: 'Start' }).click();
  const lines = page.locator('.count-line');
  await lines.nth(1).waitFor();
  expect(await lines.count()).toBe(2);
  await lines
    .filter({ hasText: '340 g' })
    .getByLabel(/^Counted/)
    .fill('0.330');
  await lines.filter({ hasText: '340 g' }).getByLabel('Reason').fill('purge');
  await lines
    .filter({ hasText: '2.740 kg' })
    .getByLabel(/^Counted/)
    .fill('2.740');
  await page.getByRole('button', { name: 'Close the count' }).click();
  await page.getByRole('heading', { name: 'Counted against the ledger' }).waitFor();
  await page.getByText('\u221210\u00a0g').first().waitFor();
  await close();
});
