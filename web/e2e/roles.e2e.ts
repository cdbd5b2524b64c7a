// SPDX-License-Identifier: Apache-2.0
import { expect, inject, it } from 'vitest';
import { signIn } from './house';
import { OWNER } from './set_up';
import { signedIn, visit } from './visit';

const TASTER = { name: 'ines', password: 'pepper and patience' };

it('the owner adds a taster, who is offered and allowed only what the role may', async () => {
  const client = await signIn(inject('url'), OWNER.name, OWNER.password);
  const owner = await visit();
  await signedIn(owner.page, OWNER.name, OWNER.password);
  await owner.page.goto('./#/users');
  await owner.page.getByRole('button', { name: 'Add a user' }).click();
  await owner.page.getByLabel('Name to sign in with').fill(TASTER.name);
  await owner.page.getByLabel('Role').selectOption('taster');
  await owner.page.getByLabel('Password', { exact: true }).fill(TASTER.password);
  await owner.page.getByRole('button', { name: 'Add a user' }).click();
  await owner.page.getByText('ines can sign in now.').waitFor();

  const taster = await visit({ expectErrors: true });
  await signedIn(taster.page, TASTER.name, TASTER.password);
  expect(await taster.page.getByRole('link', { name: 'Photograph a face' }).count()).toBe(0);
  // by its label the taster says what a piece tastes like
  await client.call('POST', 'events', {
    kind: 'received',
    cut: 'rib steak',
    mass_g: 500,
    code: 'E2E-PLATE-1',
  });
  const plate = taster.page;
  await plate.getByLabel('Label of the piece').fill('no-such');
  await plate.getByLabel(/^Score/).fill('72');
  await plate.getByRole('button', { name: 'Write it down' }).click();
  await plate.getByRole('alert').waitFor();
  await plate.getByLabel('Label of the piece').fill('e2e-plate-1');
  await plate.getByRole('button', { name: 'Write it down' }).click();
  await plate.getByText('Written.').waitFor();
  expect(JSON.stringify(await client.call('GET', 'events?kind=tasted&limit=1'))).toContain(
    '"score":72',
  );
  await taster.page.goto('./#/judge');
  await taster.page.getByText('not judge new ones').waitFor();
  expect(await taster.page.getByRole('button', { name: 'Open the camera' }).count()).toBe(0);
  await taster.page.goto('./#/users');
  await taster.page.getByText('Only the owner sees the users.').waitFor();
  await taster.page.goto('./#/settings');
  await taster.page.getByText('Only the owner changes the settings').waitFor();

  // what the page does not offer the program refuses too
  const refused = await taster.page.evaluate(async () => {
    const session = (await (await fetch('api/v1/session')).json()) as { csrf_token: string };
    const send = async (path: string, method: string, body: unknown) => {
      const answer = await fetch(`api/v1/${path}`, {
        method,
        headers: {
          'Content-Type': 'application/json',
          'X-CSRF-Token': session.csrf_token,
          'Idempotency-Key': `roles-${Math.random().toString(36).slice(2)}0000`,
        },
        body: JSON.stringify(body),
      });
      return `${answer.status} ${((await answer.json()) as { code: string }).code}`;
    };
    return [
      await send('events', 'POST', { kind: 'received', cut: 'rib', mass_g: 1000 }),
      await send('jobs', 'POST', { photo_id: '0'.repeat(64) }),
      await send('users', 'POST', { name: 'olaf', role: 'owner', password: 'a longer password' }),
    ];
  });
  expect(refused).toEqual(['403 not_allowed', '403 not_allowed', '403 not_allowed']);

  // shut off by the owner: the taster is sent to the door
  await owner.page.getByRole('button', { name: /ines/ }).click();
  await owner.page.getByRole('button', { name: 'Shut off' }).click();
  await owner.page.getByText('taster, shut off').waitFor();
  await taster.page.reload();
  await taster.page.getByRole('heading', { name: 'Sign in' }).waitFor();
  await owner.close();
  await taster.close();
});
