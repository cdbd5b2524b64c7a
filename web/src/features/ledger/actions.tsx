// SPDX-License-Identifier: Apache-2.0
// What may be written about a piece in its present state by this user; one form opens at a time.
import { useState } from 'preact/hooks';
import type { Permission, Piece, PieceState } from '../../api/types';
import { useHouse } from '../../app/session';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { CutForm } from './cut_form';
import { SimpleForm, type SimpleKind } from './simple_form';

type Kind = SimpleKind | 'cut';
type States = readonly PieceState[];

const STOCK: States = ['in_stock', 'ageing'];
const THERE: States = [...STOCK, 'cooked'];
const EATEN: States = [...THERE, 'served', 'sold'];

// Which rights allow a kind, one being enough, as the program has it, and in which states it makes
// sense. The program decides.
const KINDS: readonly [kind: Kind, rights: readonly Permission[], states: States][] = [
  ['weighed', ['buy', 'cut', 'cook'], THERE],
  ['moved', ['buy', 'cut', 'cook'], THERE],
  ['aged', ['cut'], STOCK],
  ['trimmed', ['cut'], STOCK],
  ['cut', ['cut'], STOCK],
  ['cooked', ['cook'], STOCK],
  ['served', ['cook'], THERE],
  ['sold', ['buy', 'cook'], THERE],
  ['tasted', ['taste'], EATEN],
  ['discarded', ['buy', 'cut', 'cook'], THERE],
];

function nameOf(kind: Kind, piece: Piece): string {
  if (kind !== 'aged') return t.write[kind];
  return piece.state === 'ageing' ? t.write.agedEnd : t.write.agedStart;
}

export function Actions({ piece, onWritten }: { piece: Piece; onWritten: () => void }) {
  const { may } = useHouse().session;
  const [open, setOpen] = useState<Kind | null>(null);
  const [written, setWritten] = useState(false);
  const kinds = KINDS.filter(
    ([, rights, states]) =>
      states.includes(piece.state) && rights.some((right) => may.includes(right)),
  );
  if (kinds.length === 0) return null;
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
            {nameOf(kind, piece)}
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
