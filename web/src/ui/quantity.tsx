// SPDX-License-Identifier: Apache-2.0
// One measured number: value and unit, its 90 % interval beside it, and one tap below it how the
// interval was made. A number that is not known says why.
import { isKnown, percent, show, type Measured, type Units } from '../format/measured';
import { t } from '../text';

export function Quantity(props: {
  name: string;
  plain?: string | undefined;
  m: Measured;
  units: Units;
}) {
  const { name, plain, m, units } = props;
  if (!isKnown(m)) {
    return (
      <details class="quantity">
        <summary>
          <span class="name">{name}</span>
          <span class="value soft">{t.notKnown}</span>
        </summary>
        <p class="small">
          {plain === undefined ? null : <span>{plain}. </span>}
          <b>{t.face.why}</b> {m.reason}
        </p>
      </details>
    );
  }
  const s = show(m, units);
  const exact = m.low === m.high;
  return (
    <details class="quantity">
      <summary>
        <span class="name">{name}</span>
        <span class="value">
          <b class="number">
            {s.value}
            {s.unit === '' ? '' : `\u00a0${s.unit}`}
          </b>
          {exact ? null : <span class="number soft small">{t.face.from(s.low, s.high)}</span>}
        </span>
      </summary>
      <p class="small">
        {plain === undefined ? null : <span>{plain}. </span>}
        {exact ? null : <span>{t.face.level(percent(m.level))} </span>}
        <b>{t.face.basis}</b> {m.basis}
      </p>
    </details>
  );
}
