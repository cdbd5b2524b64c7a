// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import type { Session } from '../../api/types';
import { TroubleNotice } from '../../app/trouble';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field } from '../../ui/field';
import { Notice } from '../../ui/notice';

export function SignInPage(props: {
  ownerNeeded: boolean;
  onSignedIn: (session: Session) => void;
}) {
  const [name, setName] = useState('');
  const [password, setPassword] = useState('');
  const [shown, setShown] = useState(false);
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const send = async (event: Event) => {
    event.preventDefault();
    setBusy(true);
    const body = { name: name.trim().toLowerCase(), password };
    const answer = await request<Session>(url('session'), { method: 'POST', body });
    setBusy(false);
    if (answer.ok) props.onSignedIn(answer.value);
    else setTrouble(answer.trouble);
  };
  return (
    <form class="form" onSubmit={send}>
      <h1>{t.signIn.title}</h1>
      {props.ownerNeeded ? <Notice kind="care">{t.signIn.ownerNeeded}</Notice> : null}
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <Field
        label={t.signIn.name}
        name="name"
        value={name}
        onValue={setName}
        autocomplete="username"
        required
      />
      <Field
        label={t.signIn.password}
        name="password"
        value={password}
        onValue={setPassword}
        type={shown ? 'text' : 'password'}
        autocomplete="current-password"
        required
      />
      <div class="row apart">
        <Button
          plain
          pressed={shown}
          onClick={() => {
            setShown(!shown);
          }}
        >
          {t.signIn.show}
        </Button>
        <Button type="submit" first disabled={busy}>
          {t.signIn.send}
        </Button>
      </div>
    </form>
  );
}
