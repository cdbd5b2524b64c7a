// SPDX-License-Identifier: Apache-2.0
import { useRef, useState } from 'preact/hooks';
import { newKey, request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import type { Role, User } from '../../api/types';
import { NewPasswordField } from '../../app/password_field';
import { TroubleNotice } from '../../app/trouble';
import { isPassword, isUserName } from '../../domain/account';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field, Select } from '../../ui/field';

const roles = (): [Role, string][] => Object.entries(t.users.roles) as [Role, string][];

export function NewUserForm(props: { onAdded: (name: string) => void; onCancel: () => void }) {
  const [name, setName] = useState('');
  const [fullName, setFullName] = useState('');
  const [role, setRole] = useState<Role>('cutter');
  const [password, setPassword] = useState('');
  const [tried, setTried] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const once = useRef(newKey());
  const badName = isUserName(name) ? undefined : t.setup.badName;

  const send = async (event: Event) => {
    event.preventDefault();
    setTried(true);
    if (badName !== undefined || !isPassword(password)) return;
    const body = { name, full_name: fullName.trim(), role, password };
    const answer = await request<User>(url('users'), { method: 'POST', body, once: once.current });
    if (answer.ok) {
      props.onAdded(answer.value.name);
      return;
    }
    setTrouble(answer.trouble);
    if (!answer.trouble.offline) once.current = newKey();
  };

  return (
    <form class="form" onSubmit={send} noValidate>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <Field
        label={t.setup.name}
        hint={t.setup.nameHint}
        value={name}
        onValue={setName}
        wrong={tried ? badName : undefined}
      />
      <Field
        label={t.setup.fullName}
        value={fullName}
        onValue={setFullName}
        max={80}
        capitalize="sentences"
      />
      <Select label={t.users.role} value={role} options={roles()} onValue={setRole} />
      <NewPasswordField
        label={t.setup.password}
        value={password}
        onValue={setPassword}
        tried={tried}
      />
      <div class="row">
        <Button type="submit" first>
          {t.users.add}
        </Button>
        <Button onClick={props.onCancel}>{t.cancel}</Button>
      </div>
    </form>
  );
}

export function UserForm(props: { user: User; onChanged: () => void }) {
  const { user } = props;
  const [role, setRole] = useState<Role>(user.role);
  const [password, setPassword] = useState('');
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const change = async (body: { role?: Role; active?: boolean; password?: string }) => {
    const answer = await request<User>(url(`users/${user.id}`), { method: 'PATCH', body });
    if (answer.ok) props.onChanged();
    else setTrouble(answer.trouble);
  };
  return (
    <div class="form">
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <Select label={t.users.role} value={role} options={roles()} onValue={setRole} />
      <div class="row">
        <Button disabled={role === user.role} onClick={() => change({ role })}>
          {t.users.changeRole}
        </Button>
        <Button fault={user.active} onClick={() => change({ active: !user.active })}>
          {user.active ? t.users.shutOff : t.users.letIn}
        </Button>
      </div>
      <NewPasswordField
        label={t.users.newPassword}
        value={password}
        onValue={setPassword}
        tried={false}
      />
      <div class="row">
        <Button disabled={!isPassword(password)} onClick={() => change({ password })}>
          {t.users.newPassword}
        </Button>
      </div>
    </div>
  );
}
