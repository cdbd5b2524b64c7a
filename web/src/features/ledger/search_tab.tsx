// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { SearchHit } from '../../api/types';
import { useLoad } from '../../app/load';
import { link } from '../../app/route';
import { useUnits } from '../../app/session';
import { Ready } from '../../app/trouble';
import { mass } from '../../format/mass';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field } from '../../ui/field';

export function SearchTab({ start }: { start: string }) {
  const units = useUnits();
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
                  <li key={`${hit.event_id}/${hit.piece.id}`}>
                    <a class="item" href={link('pieces', hit.piece.id)}>
                      <span class="name">
                        {hit.piece.cut}, {hit.piece.code}
                      </span>
                      <span class="more">{hit.snippet}</span>
                      <b class="figure number">{mass(hit.piece.mass_g, units)}</b>
                    </a>
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
