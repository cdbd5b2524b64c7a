// SPDX-License-Identifier: Apache-2.0
// Two faces: pictures at one scale, differences with their doubt, what drives them, in words.
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { Comparison, Face, FaceLine, Page } from '../../api/types';
import { FaceItems } from '../../app/face_list';
import { useLoad } from '../../app/load';
import { go, link } from '../../app/route';
import { Ready } from '../../app/trouble';
import { t } from '../../text';
import { Button, LinkButton } from '../../ui/button';
import { SwapIcon } from '../../ui/icons';
import { Differences } from './differences';
import { Panes } from './panes';

export function ComparePage({ first, second }: { first: string; second: string }) {
  if (first === '' || second === '') return <Pick first={first} />;
  return <Both first={first} second={second} />;
}

function Pick({ first }: { first: string }) {
  const [after, setAfter] = useState<string | null>(null);
  const faces = useLoad<Page<FaceLine>>(
    url('faces', { limit: 20, ...(after === null ? {} : { after }) }),
  );
  const pick = (line: FaceLine) => {
    go(first === '' ? link('compare', line.id) : link('compare', first, line.id));
  };
  return (
    <>
      <h1>{t.compare.title}</h1>
      <h2>{first === '' ? t.compare.pickFirst : t.compare.pickSecond}</h2>
      <Ready from={faces}>
        {({ items, next }) => {
          const others = items.filter((line) => line.id !== first);
          return (
            <>
              {others.length === 0 ? (
                <p class="soft">{t.compare.few}</p>
              ) : (
                <FaceItems lines={others} onPick={pick} />
              )}
              {next === null ? null : (
                <div class="row">
                  <Button
                    onClick={() => {
                      setAfter(next);
                    }}
                  >
                    {t.ledger.older}
                  </Button>
                </div>
              )}
            </>
          );
        }}
      </Ready>
    </>
  );
}

function Both({ first, second }: { first: string; second: string }) {
  const a = useLoad<Face>(url(`faces/${first}`));
  const b = useLoad<Face>(url(`faces/${second}`));
  const comparison = useLoad<Comparison>(url('compare', { first, second }));
  return (
    <>
      <h1>{t.compare.title}</h1>
      <div class="row">
        <LinkButton href={link('faces', first)}>{t.compare.first}</LinkButton>
        <LinkButton href={link('faces', second)}>{t.compare.second}</LinkButton>
        <LinkButton href={link('compare', second, first)}>
          <SwapIcon />
          {t.compare.swap}
        </LinkButton>
        <LinkButton href={link('compare', first)}>{t.compare.change}</LinkButton>
      </div>
      <Ready from={a}>
        {(one) => <Ready from={b}>{(two) => <Panes faces={[one, two]} />}</Ready>}
      </Ready>
      <Ready from={comparison}>{(result) => <Differences comparison={result} />}</Ready>
    </>
  );
}
