// SPDX-License-Identifier: Apache-2.0
// What went wrong, in the program's words, and what helps.
import type { ComponentChildren } from 'preact';
import { useContext } from 'preact/hooks';
import type { Trouble } from '../api/result';
import { t } from '../text';
import { eventWords } from '../text/event_words';
import { Button } from '../ui/button';
import { Busy, Notice } from '../ui/notice';
import type { Loaded } from './load';
import { HouseContext } from './session';

function wordsOf(trouble: Trouble): { title: string; mend: string } {
  if (trouble.offline) return { title: t.trouble.unreachable, mend: t.trouble.unreachableMend };
  if (trouble.code === 'unexpected')
    return { title: t.trouble.unexpected, mend: t.trouble.unexpectedMend };
  if (trouble.status === 403 && trouble.mend === '') {
    return { title: trouble.detail || t.trouble.notAllowed, mend: t.trouble.notAllowedMend };
  }
  return { title: trouble.detail, mend: trouble.mend };
}

export function TroubleNotice(props: { trouble: Trouble; onAgain?: () => void }) {
  const { trouble, onAgain } = props;
  const { title, mend } = wordsOf(trouble);
  return (
    <Notice kind="fault" title={title}>
      {trouble.where === '' ? null : (
        <p class="small">
          {t.where} {trouble.where}
        </p>
      )}
      {mend === '' ? null : (
        <p>
          {t.mend} {mend}
        </p>
      )}
      {trouble.happened === undefined ? null : (
        <p>
          {t.trouble.first} {eventWords(trouble.happened, 'metric')}
        </p>
      )}
      {onAgain === undefined ? null : (
        <div class="row">
          <Button onClick={onAgain}>{t.again}</Button>
        </div>
      )}
    </Notice>
  );
}

// Busy, failed or there: the three states of everything that is read.
export function Ready<T>(props: { from: Loaded<T>; children: (value: T) => ComponentChildren }) {
  const { value, trouble, again } = props.from;
  const reach = useContext(HouseContext)?.reach ?? true;
  if (value !== null) {
    return (
      <>
        {trouble === null ? null : <TroubleNotice trouble={trouble} onAgain={again} />}
        {props.children(value)}
      </>
    );
  }
  if (trouble?.offline === true && !reach) return <p class="soft">{t.offlinePart}</p>;
  if (trouble !== null) return <TroubleNotice trouble={trouble} onAgain={again} />;
  return <Busy words={t.busy} />;
}
