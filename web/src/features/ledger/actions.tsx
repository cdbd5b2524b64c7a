// SPDX-License-Identifier: Apache-2.0
// What may be written about a piece in its present state by this user; one form opens at a time.
import { useState } from 'preact/hooks';
import type { Permission, Piece } from '../../api/types';
import { useHouse } from '../../app/session';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { CutForm } from './cut_form';
import { SimpleForm, type SimpleKind } from './simple_form';

type Kind = SimpleKind | 'cut';

// Which right a kind wants, as docs/format/api.md has it; the program decides.
const KINDS: readonly [kind: Kind, right: Permission][] = [
  ['weighed', 'cut'],
  ['moved', 'cut'],
  ['cut', 'cut'],
  ['trimmed', 'cut'],
  ['served', 'cook'],
  ['sold', 'buy'],
  ['discarded', 'cut'],
];

export function Actions({ piece, onWritten }: { piece: Piece; onWritten: () => void }) {
  const { may } = useHouse().session;
  const [open, setOpen] = useState<Kind | null>(null);
  const [written, setWritten] = useState(false);
  const live = piece.state === 'in_stock' || piece.state === 'ageing' || piece.state === 'cooked';
  const kinds = KINDS.filter(([, right]) => may.includes(right));
  if (!live || kinds.length === 0) return null;
  const done = () => {
    setOpen(null);
    setWritten(true);
    onWritten();
  };
  const close = () => {
    setOpen(null);
  };
  return (
    <section class="sheet">
      <h2>{t.ledger.actions}</h2>
      <div class="row">
        {kinds.map(([kind]) => (
          <Button
            key={kind}
            pressed={open === kind}
            onClick={() => {
              setWritten(false);
              setOpen(open === kind ? null : kind);
            }}
          >
            {t.write[kind]}
          </Button>
        ))}
      </div>
      <p role="status">{written ? t.write.done : ''}</p>
      {open === 'cut' ? <CutForm key="cut" piece={piece} onDone={done} onCancel={close} /> : null}
      {open !== null && open !== 'cut' ? (
        <SimpleForm key={open} kind={open} piece={piece} onDone={done} onCancel={close} />
      ) : null}
    </section>
  );
}
