// SPDX-License-Identifier: Apache-2.0
// Keeping a face with a piece: scan the label where the browser can, type it, or pick from stock.
import { useRef, useState } from 'preact/hooks';
import { newKey, request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import type { EventDone, Page, Piece } from '../../api/types';
import { useLoad } from '../../app/load';
import { PieceItems } from '../../app/piece_list';
import { canScan, Scanner } from '../../app/scanner';
import { Ready, TroubleNotice } from '../../app/trouble';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Dialog } from '../../ui/dialog';
import { Field } from '../../ui/field';
import { Notice } from '../../ui/notice';

export function AssignDialog(props: {
  faceId: string;
  onKept: (done: EventDone) => void;
  onClose: () => void;
}) {
  const { faceId, onKept, onClose } = props;
  const [code, setCode] = useState('');
  const [scanning, setScanning] = useState(false);
  const [unknown, setUnknown] = useState('');
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const stock = useLoad<Page<Piece>>(url('pieces', { state: 'in_stock', limit: 30 }));
  const keys = useRef(new Map<string, string>());

  const keep = async (piece: Piece) => {
    const once = keys.current.get(piece.id) ?? newKey();
    keys.current.set(piece.id, once);
    const body = { piece_id: piece.id };
    const answer = await request<EventDone>(url(`faces/${faceId}/piece`), {
      method: 'PUT',
      body,
      once,
    });
    if (answer.ok) onKept(answer.value);
    else setTrouble(answer.trouble);
  };

  const find = async (text: string) => {
    const label = text.trim().toUpperCase();
    if (label === '') return;
    setUnknown('');
    setTrouble(null);
    const answer = await request<Page<Piece>>(url('pieces', { code: label }));
    if (!answer.ok) {
      setTrouble(answer.trouble);
      return;
    }
    const piece = answer.value.items[0];
    if (piece === undefined) setUnknown(label);
    else await keep(piece);
  };

  return (
    <Dialog title={t.assign.title} onClose={onClose}>
      <p class="soft">{t.assign.words}</p>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      {unknown === '' ? null : <Notice kind="fault" title={t.assign.unknown(unknown)} />}
      {scanning ? (
        <Scanner
          onCode={(text) => {
            setScanning(false);
            setCode(text);
            void find(text);
          }}
          onStop={() => {
            setScanning(false);
          }}
        />
      ) : canScan() ? (
        <Button
          wide
          onClick={() => {
            setScanning(true);
          }}
        >
          {t.assign.scan}
        </Button>
      ) : (
        <p class="soft small">{t.assign.noScan}</p>
      )}
      <form
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void find(code);
        }}
      >
        <Field label={t.assign.code} value={code} onValue={setCode} max={40} />
        <Button type="submit" first>
          {t.assign.find}
        </Button>
      </form>
      <h3>{t.assign.pick}</h3>
      <Ready from={stock}>
        {({ items }) =>
          items.length === 0 ? (
            <p class="soft">{t.assign.nothing}</p>
          ) : (
            <PieceItems pieces={items} onPick={keep} />
          )
        }
      </Ready>
      <Button onClick={onClose}>{t.cancel}</Button>
    </Dialog>
  );
}
