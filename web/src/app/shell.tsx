// SPDX-License-Identifier: Apache-2.0
// The frame of every screen: the house's name, whether the program is in reach, how many photos
// wait, the page itself, and the five places to go.
import type { ComponentChildren, JSX, RefObject } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { onSent } from '../offline/send';
import { useQueue } from '../offline/use_queue';
import { t } from '../text';
import { Button } from '../ui/button';
import { CameraIcon, CompareIcon, LedgerIcon, SettingsIcon, TodayIcon } from '../ui/icons';
import { Notice } from '../ui/notice';
import { link } from './route';

const PLACES: { at: string; words: () => string; Icon: () => JSX.Element; also: string[] }[] = [
  { at: '', words: () => t.nav.today, Icon: TodayIcon, also: [] },
  { at: 'compare', words: () => t.nav.compare, Icon: CompareIcon, also: [] },
  { at: 'judge', words: () => t.nav.judge, Icon: CameraIcon, also: ['faces'] },
  { at: 'ledger', words: () => t.nav.ledger, Icon: LedgerIcon, also: ['pieces'] },
  { at: 'settings', words: () => t.nav.settings, Icon: SettingsIcon, also: ['users'] },
];

interface ShellProps {
  main: RefObject<HTMLElement>;
  house?: string;
  at?: string;
  bare?: boolean;
  reach?: boolean;
  onAgain?: () => void;
  children: ComponentChildren;
}

export function Shell(props: ShellProps) {
  const { bare = false, reach = true, at = '', onAgain } = props;
  const queue = useQueue();
  const [sent, setSent] = useState(0);
  useEffect(() => onSent(setSent), []);
  useEffect(() => {
    setSent(0);
  }, [at]);
  return (
    <div class={bare ? 'shell bare' : 'shell'}>
      <a
        class="skip"
        href="#main"
        onClick={(event) => {
          event.preventDefault();
          props.main.current?.focus();
        }}
      >
        {t.skip}
      </a>
      <header class="top">
        <span class="house">
          {props.house === undefined || props.house === '' ? t.product : props.house}
        </span>
        {reach ? null : <span class="badge care">{t.offline}</span>}
        {queue.length === 0 || bare ? null : (
          <a class="badge" href={link('judge')}>
            {t.waiting(queue.length)}
          </a>
        )}
      </header>
      {bare ? null : (
        <nav class="nav" aria-label={t.navLabel}>
          <ul>
            {PLACES.map(({ at: place, words, Icon, also }) => (
              <li key={place}>
                <a
                  href={place === '' ? '#/' : link(place)}
                  aria-current={place === at || also.includes(at) ? 'page' : undefined}
                >
                  <Icon />
                  {words()}
                </a>
              </li>
            ))}
          </ul>
        </nav>
      )}
      <main class="main" id="main" tabIndex={-1} ref={props.main}>
        <p role="status" class={sent === 0 ? 'unseen' : 'notice'}>
          {sent === 0 ? '' : t.judge.queueSent(sent)}
        </p>
        {reach ? null : (
          <Notice kind="care">
            <p>{t.offlineLong}</p>
            {onAgain === undefined ? null : (
              <div class="row">
                <Button onClick={onAgain}>{t.again}</Button>
              </div>
            )}
          </Notice>
        )}
        {props.children}
      </main>
    </div>
  );
}
