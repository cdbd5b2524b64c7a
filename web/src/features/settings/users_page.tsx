// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { RoleTable, User } from '../../api/types';
import { useLoad } from '../../app/load';
import { link } from '../../app/route';
import { useHouse, useMay } from '../../app/session';
import { Ready } from '../../app/trouble';
import { t } from '../../text';
import { Button, LinkButton } from '../../ui/button';
import { BackIcon, PlusIcon } from '../../ui/icons';
import { Notice } from '../../ui/notice';
import { NewUserForm, UserForm } from './user_forms';

export function UsersPage() {
  const may = useMay('users');
  const { session } = useHouse();
  const users = useLoad<{ items: User[] }>(may ? url('users') : null);
  const roles = useLoad<RoleTable>(url('roles'));
  const [open, setOpen] = useState<string | null>(null);
  const [adding, setAdding] = useState(false);
  const [added, setAdded] = useState('');
  if (!may) return <Notice kind="care" title={t.users.mayNot} />;
  return (
    <>
      <div class="row">
        <LinkButton plain href={link('settings')} aria-label={t.back}>
          <BackIcon />
        </LinkButton>
        <h1>{t.users.title}</h1>
      </div>
      <div class="columns">
        <div class="stack">
          <Ready from={users}>
            {({ items }) => (
              <ul class="list">
                {items.map((user) => (
                  <li key={user.id}>
                    <button
                      type="button"
                      class="item"
                      aria-expanded={open === user.id}
                      onClick={() => {
                        setOpen(open === user.id ? null : user.id);
                      }}
                    >
                      <span class="name">
                        {user.full_name === '' ? user.name : user.full_name}
                        {user.id === session.user.id ? ` (${t.users.you})` : ''}
                      </span>
                      <span class="more">{user.name}</span>
                      <span class="figure">
                        {t.users.roles[user.role]}
                        {user.active ? '' : `, ${t.users.off}`}
                      </span>
                    </button>
                    {open === user.id ? (
                      <div class="inset">
                        <UserForm
                          user={user}
                          onChanged={() => {
                            setOpen(null);
                            users.again();
                          }}
                        />
                      </div>
                    ) : null}
                  </li>
                ))}
              </ul>
            )}
          </Ready>
          <p role="status">{added === '' ? '' : t.users.added(added)}</p>
          {adding ? (
            <section class="sheet">
              <h2>{t.users.add}</h2>
              <NewUserForm
                onAdded={(name) => {
                  setAdded(name);
                  setAdding(false);
                  users.again();
                }}
                onCancel={() => {
                  setAdding(false);
                }}
              />
            </section>
          ) : (
            <div class="row">
              <Button
                first
                onClick={() => {
                  setAdded('');
                  setAdding(true);
                }}
              >
                <PlusIcon />
                {t.users.add}
              </Button>
            </div>
          )}
        </div>
        <section class="sheet">
          <h2>{t.users.mayTable}</h2>
          <Ready from={roles}>
            {({ items }) => (
              <dl class="stack">
                {items.map(({ role, may: rights }) => (
                  <div key={role}>
                    <dt>
                      <b>{t.users.roles[role]}</b>
                    </dt>
                    <dd class="soft">
                      {rights.map((right) => t.users.permission[right]).join(', ')}
                    </dd>
                  </div>
                ))}
              </dl>
            )}
          </Ready>
        </section>
      </div>
    </>
  );
}
