// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import { NewPasswordField } from '../../app/password_field';
import { TroubleNotice } from '../../app/trouble';
import { isPassword } from '../../domain/account';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field } from '../../ui/field';

export function PasswordForm() {
  const [open, setOpen] = useState(false);
  const [before, setBefore] = useState('');
  const [after, setAfter] = useState('');
  const [tried, setTried] = useState(false);
  const [done, setDone] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);

  const send = async (event: Event) => {
    event.preventDefault();
    setTried(true);
    if (!isPassword(after)) return;
    const body = { old_password: before, new_password: after };
    const answer = await request(url('session/password'), { method: 'PUT', body });
    if (!answer.ok) {
      setTrouble(answer.trouble);
      return;
    }
    setTrouble(null);
    setDone(true);
    setOpen(false);
    setBefore('');
    setAfter('');
    setTried(false);
  };

  if (!open) {
    return (
      <div class="row">
        <Button
          onClick={() => {
            setDone(false);
            setOpen(true);
          }}
        >
          {t.settings.changePassword}
        </Button>
        <span role="status">{done ? t.settings.passwordChanged : ''}</span>
      </div>
    );
  }
  return (
    <form class="form" onSubmit={send} noValidate>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <Field
        label={t.settings.oldPassword}
        type="password"
        autocomplete="current-password"
        value={before}
        onValue={setBefore}
      />
      <NewPasswordField
        label={t.settings.newPassword}
        value={after}
        onValue={setAfter}
        tried={tried}
      />
      <div class="row">
        <Button type="submit" first>
          {t.settings.changePassword}
        </Button>
        <Button
          onClick={() => {
            setOpen(false);
          }}
        >
          {t.cancel}
        </Button>
      </div>
    </form>
  );
}
