// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { Piece, PieceState } from '../../api/types';
import { usePages } from '../../app/pages';
import { PieceItems } from '../../app/piece_list';
import { Ready } from '../../app/trouble';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Choice } from '../../ui/field';

type Filter = PieceState | 'all';
const FILTERS: readonly Filter[] = ['in_stock', 'ageing', 'all'];

export function PiecesTab() {
  const [state, setState] = useState<Filter>('in_stock');
  const pages = usePages<Piece>(state, (after) =>
    url('pieces', { limit: 50, after, state: state === 'all' ? undefined : state }),
  );
  return (
    <>
      <Choice
        legend={t.ledger.stateFilter}
        value={state}
        onValue={setState}
        options={FILTERS.map((f) => [f, f === 'all' ? t.ledger.all : t.ledger.state[f]] as const)}
      />
      <Ready from={pages.from}>
        {() =>
          pages.items.length === 0 ? (
            <p class="soft">{t.ledger.noPieces}</p>
          ) : (
            <PieceItems pieces={pages.items} />
          )
        }
      </Ready>
      {pages.more === null ? null : (
        <div class="row">
          <Button onClick={pages.more}>{t.ledger.older}</Button>
        </div>
      )}
    </>
  );
}
