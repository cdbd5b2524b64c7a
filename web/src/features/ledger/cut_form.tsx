// SPDX-License-Identifier: Apache-2.0
// Cutting a piece up: its parts, the loss, and whether every gram is accounted for. The program
// decides; the page shows the same sum before it is sent.
import { useState } from 'preact/hooks';
import type { NewEvent, Piece } from '../../api/types';
import { useUnits } from '../../app/session';
import { TroubleNotice } from '../../app/trouble';
import { useWriting } from '../../app/write';
import { gramsFromText, mass, massUnit, signedMass } from '../../format/mass';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { Field } from '../../ui/field';
import { PlusIcon } from '../../ui/icons';
import { Notice } from '../../ui/notice';

interface Part {
  cut: string;
  mass: string;
}

const NEAR_G = 0.5; // sums closer than half a gram are shown as balanced

export function CutForm({
  piece,
  onDone,
  onCancel,
}: {
  piece: Piece;
  onDone: () => void;
  onCancel: () => void;
}) {
  const units = useUnits();
  const { busy, trouble, write } = useWriting();
  const [parts, setParts] = useState<Part[]>([
    { cut: '', mass: '' },
    { cut: '', mass: '' },
  ]);
  const [loss, setLoss] = useState('0');
  const [tried, setTried] = useState(false);
  const put = (i: number, change: Partial<Part>) => {
    setParts(parts.map((part, k) => (k === i ? { ...part, ...change } : part)));
  };
  const gramsOf = (part: Part) => gramsFromText(part.mass, units);
  const lossGrams = gramsFromText(loss, units);
  const sum = parts.reduce((total, part) => total + (gramsOf(part) ?? 0), lossGrams ?? 0);
  const off = piece.mass_g - sum;
  const bad = (part: Part) =>
    part.cut.trim() === '' || gramsOf(part) === null || gramsOf(part) === 0;

  const send = async (submit: Event) => {
    submit.preventDefault();
    setTried(true);
    if (lossGrams === null || parts.some(bad)) return;
    const event: NewEvent = {
      kind: 'cut',
      piece_id: piece.id,
      outputs: parts.map((part) => ({
        cut: part.cut.trim(),
        mass_g: gramsOf(part) ?? 0,
        location: piece.location,
      })),
      loss_g: lossGrams,
    };
    if ((await write(event)) !== null) onDone();
  };

  return (
    <form class="form" onSubmit={send} noValidate>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <h3>{t.write.outputs}</h3>
      {parts.map((part, i) => (
        <fieldset key={i} class="part">
          <legend>{t.write.outputNumber(i + 1)}</legend>
          <Field
            label={t.write.cutName}
            value={part.cut}
            max={60}
            wrong={tried && part.cut.trim() === '' ? t.write.needed : undefined}
            onValue={(cut) => {
              put(i, { cut });
            }}
          />
          <Field
            label={t.write.mass}
            unit={massUnit(units)}
            mode="decimal"
            value={part.mass}
            wrong={tried && (gramsOf(part) ?? 0) === 0 ? t.write.badMass : undefined}
            onValue={(text) => {
              put(i, { mass: text });
            }}
          />
          {parts.length < 2 ? null : (
            <Button
              plain
              onClick={() => {
                setParts(parts.filter((_, k) => k !== i));
              }}
            >
              {t.write.removeOutput(i + 1)}
            </Button>
          )}
        </fieldset>
      ))}
      <div class="row">
        <Button
          onClick={() => {
            setParts([...parts, { cut: parts.at(-1)?.cut ?? '', mass: '' }]);
          }}
        >
          <PlusIcon />
          {t.write.addOutput}
        </Button>
      </div>
      <Field
        label={t.write.loss}
        unit={massUnit(units)}
        mode="decimal"
        value={loss}
        onValue={setLoss}
        wrong={lossGrams === null ? t.write.badMass : undefined}
      />
      <Notice {...(Math.abs(off) < NEAR_G ? {} : { kind: 'care' as const })}>
        <p>{t.write.balance(mass(sum, units), mass(piece.mass_g, units))}</p>
        <p>
          {Math.abs(off) < NEAR_G ? t.write.balanceOk : t.write.balanceOff(signedMass(off, units))}
        </p>
      </Notice>
      <div class="row">
        <Button type="submit" first disabled={busy}>
          {t.write.send}
        </Button>
        <Button onClick={onCancel}>{t.cancel}</Button>
      </div>
    </form>
  );
}
