// SPDX-License-Identifier: Apache-2.0
// First run: the one-time link makes the owner.
import { useState } from 'preact/hooks';
import { request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import type { Session } from '../../api/types';
import { NewPasswordField } from '../../app/password_field';
import { TroubleNotice } from '../../app/trouble';
import { isPassword, isUserName } from '../../domain/account';
import { t } from '../../text';
import { Button, LinkButton } from '../../ui/button';
import { Field } from '../../ui/field';
import { Notice } from '../../ui/notice';

interface SetupProps {
  token: string;
  ownerNeeded: boolean;
  onSignedIn: (session: Session) => void;
}

export function SetupPage(props: SetupProps) {
  const [name, setName] = useState('');
  const [fullName, setFullName] = useState('');
  const [password, setPassword] = useState('');
  const [repeat, setRepeat] = useState('');
  const [tried, setTried] = useState(false);
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const badName = isUserName(name) ? undefined : t.setup.badName;
  const differ = repeat === password ? undefined : t.setup.differ;

  const send = async (event: Event) => {
    event.preventDefault();
    setTried(true);
    if (badName !== undefined || !isPassword(password) || differ !== undefined) return;
    setBusy(true);
    const body = { token: props.token, name, full_name: fullName.trim(), password };
    const answer = await request<Session>(url('setup'), { method: 'POST', body });
    setBusy(false);
    if (answer.ok) props.onSignedIn(answer.value);
    else setTrouble(answer.trouble);
  };

  if (!props.ownerNeeded) {
    return (
      <div class="form">
        <h1>{t.setup.title}</h1>
        <Notice kind="care">{t.setup.done}</Notice>
        <LinkButton first href="#/">
          {t.signIn.title}
        </LinkButton>
      </div>
    );
  }
  return (
    <form class="form" onSubmit={send} noValidate>
      <h1>{t.setup.title}</h1>
      <p>{t.setup.words}</p>
      {/^[0-9A-Za-z_-]{20,64}$/.test(props.token) ? null : (
        <Notice kind="fault">{t.setup.noToken}</Notice>
      )}
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <Field
        label={t.setup.name}
        hint={t.setup.nameHint}
        name="name"
        value={name}
        onValue={setName}
        autocomplete="username"
        wrong={tried ? badName : undefined}
        required
      />
      <Field
        label={t.setup.fullName}
        value={fullName}
        onValue={setFullName}
        autocomplete="name"
        max={80}
        capitalize="sentences"
      />
      <NewPasswordField
        label={t.setup.password}
        value={password}
        onValue={setPassword}
        tried={tried}
      />
      <Field
        label={t.setup.repeat}
        value={repeat}
        onValue={setRepeat}
        type="password"
        autocomplete="new-password"
        wrong={tried ? differ : undefined}
        required
      />
      <div class="row">
        <Button type="submit" first disabled={busy}>
          {t.setup.send}
        </Button>
      </div>
    </form>
  );
}
