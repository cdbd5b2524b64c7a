// SPDX-License-Identifier: Apache-2.0
// Cover along the eye: its line and the band of its intervals, with a scale in the reader's units.
import type { JudgedFace } from '../../api/types';
import { useUnits } from '../../app/session';
import { inUnits, isKnown, unitText, type Known } from '../../format/measured';
import { t } from '../../text';

const W = 300;
const H = 96;
const LEFT = 34;
const BOTTOM = 18;

function niceTop(x: number): number {
  const decade = 10 ** Math.floor(Math.log10(x));
  return [1, 2, 5, 10].map((k) => k * decade).find((k) => k >= x) ?? 10 * decade;
}

export function CoverProfile({ cover }: { cover: JudgedFace['cover_mm'] }) {
  const units = useUnits();
  const points = cover.profile
    .map(({ along, thickness }) => ({
      along,
      m: isKnown(thickness) ? inUnits(thickness, units) : null,
    }))
    .filter((point): point is { along: number; m: Known } => point.m !== null);
  const most = Math.max(0, ...points.map((point) => point.m.high));
  if (points.length < 3 || most <= 0) return null;
  const top = niceTop(most);
  const x = (along: number) => LEFT + along * (W - LEFT);
  const y = (v: number) => (H - BOTTOM) * (1 - v / top) + 4;
  const line = (pick: (m: Known) => number) =>
    points.map(({ along, m }) => `${x(along).toFixed(1)},${y(pick(m)).toFixed(1)}`);
  const band = [...line((m) => m.high), ...line((m) => m.low).reverse()].join(' ');
  const unit = unitText(points[0]?.m.unit ?? '');
  return (
    <figure class="profile">
      <svg viewBox={`0 0 ${W} ${H + 8}`} role="img" aria-label={t.face.profile}>
        <polygon points={band} class="band" />
        <polyline points={line((m) => m.value).join(' ')} class="line" />
        <path d={`M${LEFT} 4V${y(0)}H${W}`} class="axis" />
        <text x={LEFT - 4} y={12} class="end">
          {top}
        </text>
        <text x={LEFT - 4} y={y(0)} class="end">
          0
        </text>
        <text x={LEFT - 4} y={(y(0) + 12) / 2} class="end">
          {unit}
        </text>
        <text x={LEFT} y={H + 4}>
          {t.face.chine}
        </text>
        <text x={W} y={H + 4} class="end">
          {t.face.farEnd}
        </text>
      </svg>
      <figcaption class="small soft">{t.face.profile}</figcaption>
    </figure>
  );
}
