// SPDX-License-Identifier: Apache-2.0
import { useMay, useHouse } from '../../app/session';
import { link } from '../../app/route';
import { t } from '../../text';
import { Button, LinkButton } from '../../ui/button';
import { Notice } from '../../ui/notice';
import { DeviceForm } from './device_form';
import { HouseForm } from './house_form';
import { PasswordForm } from './password_form';

export function SettingsPage() {
  const { session, signOut } = useHouse();
  const maySet = useMay('settings');
  const mayUsers = useMay('users');
  const { user } = session;
  return (
    <>
      <h1>{t.settings.title}</h1>
      <div class="columns">
        <div class="stack">
          <section class="sheet">
            <h2>{t.settings.house}</h2>
            {maySet ? <HouseForm /> : <Notice>{t.settings.mayNot}</Notice>}
          </section>
        </div>
        <div class="stack">
          <section class="sheet">
            <h2>{t.settings.device}</h2>
            <DeviceForm />
          </section>
          <section class="sheet">
            <h2>{t.settings.account}</h2>
            <p>
              {t.signIn.who(user.full_name === '' ? user.name : user.full_name)} (
              {t.users.roles[user.role]})
            </p>
            <div class="row">
              <Button onClick={signOut}>{t.signIn.out}</Button>
              {mayUsers ? <LinkButton href={link('users')}>{t.settings.users}</LinkButton> : null}
            </div>
            <PasswordForm />
          </section>
          <p class="soft small">{t.settings.local}</p>
        </div>
      </div>
    </>
  );
}
