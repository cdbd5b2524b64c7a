// SPDX-License-Identifier: Apache-2.0
import { link } from '../../app/route';
import { useMay } from '../../app/session';
import { t } from '../../text';
import { LinkButton } from '../../ui/button';
import { PlusIcon } from '../../ui/icons';
import { Notice } from '../../ui/notice';
import { CountTab } from './count_tab';
import { PiecesTab } from './pieces_tab';
import { ReceivePage } from './receive_page';
import { SearchTab } from './search_tab';
import { StockTab } from './stock_tab';

export function LedgerPage({ tab, query }: { tab: string; query: URLSearchParams }) {
  const mayRead = useMay('read_ledger');
  const mayBuy = useMay('buy');
  const mayCount = useMay('count');
  if (!mayRead) return <Notice kind="care" title={t.trouble.notAllowed} />;
  if (tab === 'receive') return <ReceivePage />;
  const tabs = [
    ['', t.ledger.pieces],
    ['stock', t.ledger.stock],
    ...(mayCount ? [['count', t.ledger.count] as const] : []),
    ['search', t.ledger.search],
  ] as const;
  return (
    <>
      <div class="row apart">
        <h1>{t.ledger.title}</h1>
        {mayBuy ? (
          <LinkButton first href={link('ledger', 'receive')}>
            <PlusIcon />
            {t.ledger.receive}
          </LinkButton>
        ) : null}
      </div>
      <nav class="tabs" aria-label={t.ledger.title}>
        {tabs.map(([name, words]) => (
          <a
            key={name}
            href={name === '' ? link('ledger') : link('ledger', name)}
            aria-current={name === tab ? 'page' : undefined}
          >
            {words}
          </a>
        ))}
      </nav>
      {tab === '' ? <PiecesTab /> : null}
      {tab === 'stock' ? <StockTab /> : null}
      {tab === 'count' ? <CountTab /> : null}
      {tab === 'search' ? <SearchTab start={query.get('q') ?? ''} /> : null}
    </>
  );
}
