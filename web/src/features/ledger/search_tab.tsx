// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { SearchHit } from '../../api/types';
import { useLoad } from '../../app/load';
import { link } from '../../app/route';
import { Ready } from '../../app/trouble';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field } from '../../ui/field';

export function SearchTab({ start }: { start: string }) {
  const [text, setText] = useState(start);
  const [asked, setAsked] = useState(start);
  const hits = useLoad<{ items: SearchHit[] }>(
    asked === '' ? null : url('search', { q: asked, limit: 100 }),
  );
  return (
    <>
      <form
        class="form"
        role="search"
        onSubmit={(event) => {
          event.preventDefault();
          setAsked(text.trim());
        }}
      >
        <Field label={t.search.label} type="search" value={text} onValue={setText} max={200} />
        <div class="row">
          <Button type="submit" first>
            {t.search.send}
          </Button>
        </div>
      </form>
      {asked === '' ? null : (
        <Ready from={hits}>
          {({ items }) =>
            items.length === 0 ? (
              <p role="status">{t.search.nothing}</p>
            ) : (
              <ul class="list">
                {items.map((hit) => (
                  <li key={`${hit.of}${hit.id}`}>
                    {hit.piece_id === null ? (
                      <div class="item">
                        <Hit hit={hit} />
                      </div>
                    ) : (
                      <a class="item" href={link('pieces', hit.piece_id)}>
                        <Hit hit={hit} />
                      </a>
                    )}
                  </li>
                ))}
              </ul>
            )
          }
        </Ready>
      )}
    </>
  );
}

function Hit({ hit }: { hit: SearchHit }) {
  return (
    <>
      <span class="name">{hit.title}</span>
      <span class="more">{hit.snippet}</span>
      <span class="figure soft small">{hit.of === 'piece' ? t.search.piece : t.search.event}</span>
    </>
  );
}
