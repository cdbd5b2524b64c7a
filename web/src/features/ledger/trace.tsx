// SPDX-License-Identifier: Apache-2.0
// Where a piece came from and what became of it; the whole family is read when asked for.
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { Piece, PieceDetail, Trace } from '../../api/types';
import { useLoad } from '../../app/load';
import { PieceItems } from '../../app/piece_list';
import { Ready } from '../../app/trouble';
import { t } from '../../text';
import { Button } from '../../ui/button';

function Kin({ title, pieces, none }: { title: string; pieces: readonly Piece[]; none: string }) {
  return (
    <section class="stack">
      <h3>{title}</h3>
      {pieces.length === 0 ? <p class="soft">{none}</p> : <PieceItems pieces={pieces} />}
    </section>
  );
}

export function TraceSection({ detail }: { detail: PieceDetail }) {
  const { piece, made_from, made_into } = detail;
  const [open, setOpen] = useState(false);
  const trace = useLoad<Trace>(open ? url(`pieces/${piece.id}/trace`) : null);
  return (
    <section class="stack">
      {made_from.length === 0 ? null : <Kin title={t.ledger.madeFrom} pieces={made_from} none="" />}
      {made_into.length === 0 ? null : <Kin title={t.ledger.madeInto} pieces={made_into} none="" />}
      {open ? (
        <Ready from={trace}>
          {(family) => (
            <>
              <Kin
                title={t.ledger.up}
                pieces={family.up.map((step) => step.piece)}
                none={t.ledger.noKin}
              />
              <Kin
                title={t.ledger.down}
                pieces={family.down.map((step) => step.piece)}
                none={t.ledger.noDown}
              />
              <Kin title={t.ledger.siblings} pieces={family.siblings} none={t.ledger.noSiblings} />
            </>
          )}
        </Ready>
      ) : (
        <div class="row">
          <Button
            onClick={() => {
              setOpen(true);
            }}
          >
            {t.ledger.trace}
          </Button>
        </div>
      )}
    </section>
  );
}
