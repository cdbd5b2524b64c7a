// SPDX-License-Identifier: Apache-2.0
// Odds on published scales, signs and the house spec, each with where it comes from.
import type { JudgedFace } from '../../api/types';
import { oddsOf, type OddsTable } from '../../domain/report';
import { percent } from '../../format/measured';
import { t } from '../../text';
import { OddsBars } from '../../ui/odds';

// "slightly_abundant" -> "slightly abundant"; "choice-" -> "low choice".
function stepWords(step: string): string {
  const part = /[a-z][-0+]$/.test(step) ? (t.face.part[step.slice(-1)] ?? '') : '';
  return part + (part === '' ? step : step.slice(0, -1)).replaceAll('_', ' ');
}

const OPEN = 3; // scales shown without a tap

function Scale({ table }: { table: OddsTable }) {
  return (
    <section class="stack">
      <h3>{t.face.scale[table.key] ?? table.key}</h3>
      {table.items.length === 0 ? (
        <p class="soft">
          {t.notKnown}: {table.reason}
        </p>
      ) : (
        <OddsBars items={table.items.map(({ step, odds }) => ({ words: stepWords(step), odds }))} />
      )}
      {table.basis === '' ? null : (
        <details class="source small soft">
          <summary>{t.face.source}</summary>
          <p>{table.basis}</p>
        </details>
      )}
    </section>
  );
}

export function FaceOdds({ face }: { face: JudgedFace }) {
  const tables = oddsOf(face);
  const signs = face.signs ?? [];
  const spec = face.spec ?? [];
  return (
    <>
      {tables.length === 0 ? null : (
        <section class="sheet">
          <h2>{t.face.odds}</h2>
          <p class="official">{t.official}</p>
          <p class="soft small">{t.face.oddsWords}</p>
          {tables.slice(0, OPEN).map((table) => (
            <Scale key={table.key} table={table} />
          ))}
          {tables.length <= OPEN ? null : (
            <details class="group">
              <summary>
                <h3>{t.face.moreScales}</h3>
              </summary>
              <div class="stack">
                {tables.slice(OPEN).map((table) => (
                  <Scale key={table.key} table={table} />
                ))}
              </div>
            </details>
          )}
        </section>
      )}
      {spec.length === 0 ? null : (
        <section class="sheet">
          <h2>{t.face.spec}</h2>
          <ul class="stack">
            {spec.map((line) => (
              <li key={line.name} class={`spec ${line.outcome}`}>
                <span>
                  <b>{line.name}</b>: {line.wanted}
                </span>
                <span>
                  <b class="outcome">{t.face.outcome[line.outcome]}</b>
                  {line.odds_met === null ? '' : `, ${t.face.specOdds(percent(line.odds_met))}`}
                </span>
                <span class="soft small">{line.because}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
      {signs.length === 0 ? null : (
        <section class="sheet">
          <h2>{t.face.signs}</h2>
          <p class="soft small">{t.face.signsWords}</p>
          <OddsBars
            items={signs.map((sign) => ({
              words: t.face.sign[sign.of] ?? sign.of,
              odds: sign.odds,
            }))}
          />
          <details class="source small soft">
            <summary>{t.face.reasons}</summary>
            <ul class="stack">
              {signs.map((sign) => (
                <li key={sign.of}>
                  <b>{t.face.sign[sign.of] ?? sign.of}:</b> {sign.because}
                </li>
              ))}
            </ul>
          </details>
        </section>
      )}
    </>
  );
}
