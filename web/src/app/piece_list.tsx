// SPDX-License-Identifier: Apache-2.0
// Pieces as lines: label and cut, place and age, weight.
import type { Piece } from '../api/types';
import { mass } from '../format/mass';
import { wholeDaysBetween } from '../format/time';
import { t } from '../text';
import { link } from './route';
import { useUnits } from './session';

function Line({ piece }: { piece: Piece }) {
  const units = useUnits();
  const days = wholeDaysBetween(piece.received_at, new Date().toISOString());
  const facts = [
    piece.code,
    piece.location === '' ? t.ledger.noLocation : piece.location,
    t.ledger.days(Math.max(0, days)),
    ...(piece.state === 'in_stock' ? [] : [t.ledger.state[piece.state]]),
  ];
  return (
    <>
      <span class="name">{piece.cut}</span>
      <span class="more">{facts.join(', ')}</span>
      <b class="figure number">{mass(piece.mass_g, units)}</b>
    </>
  );
}

export function PieceItems(props: {
  pieces: readonly Piece[];
  onPick?: (piece: Piece) => void | Promise<void>;
}) {
  const { pieces, onPick } = props;
  return (
    <ul class="list">
      {pieces.map((piece) => (
        <li key={piece.id}>
          {onPick === undefined ? (
            <a class="item" href={link('pieces', piece.id)}>
              <Line piece={piece} />
            </a>
          ) : (
            <button type="button" class="item" onClick={() => void onPick(piece)}>
              <Line piece={piece} />
            </button>
          )}
        </li>
      ))}
    </ul>
  );
}
