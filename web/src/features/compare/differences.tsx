// SPDX-License-Identifier: Apache-2.0
import type { Comparison } from '../../api/types';
import { useUnits } from '../../app/session';
import { fixed, isKnown, oddsPercent, show, type Measured } from '../../format/measured';
import { t } from '../../text';

// "eye_marbling_pct" -> "Marbling of the eye"; a name not listed is shown as the program has it.
function nameOf(of: string): string {
  const whole = t.compare.of[of];
  if (whole !== undefined) return whole;
  for (const [measure, words] of Object.entries(t.compare.measure)) {
    if (!of.endsWith(`_${measure}`)) continue;
    const muscle = of.slice(0, -measure.length - 1);
    return t.compare.ofMuscle(words, t.compare.muscle[muscle] ?? muscle.replaceAll('_', ' '));
  }
  return of.replaceAll('_', ' ');
}

// "+5.4"; no sign on what rounds to nothing.
function signed(points: number): string {
  const text = fixed(points, 1);
  return points > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

function Value({ m, signed }: { m: Measured; signed?: boolean }) {
  const units = useUnits();
  if (!isKnown(m)) return <span class="soft">{t.notKnown}</span>;
  const s = show(m, units);
  const plus = signed === true && m.value > 0 && /[1-9]/.test(s.value) ? '+' : '';
  return (
    <span>
      <b class="number">{`${plus}${s.value}\u00a0${s.unit}`}</b>
      <br />
      <span class="soft small number">{t.face.from(s.low, s.high)}</span>
    </span>
  );
}

export function Differences({ comparison }: { comparison: Comparison }) {
  const { words, differences, marbling_drivers: drivers } = comparison;
  const most = Math.max(0, ...drivers.map((driver) => Math.abs(driver.points)));
  return (
    <div class="columns">
      <div class="stack">
        {words.length === 0 ? null : (
          <section class="sheet">
            <h2>{t.compare.words}</h2>
            <ul class="stack">
              {words.map((sentence) => (
                <li key={sentence}>{sentence}</li>
              ))}
            </ul>
          </section>
        )}
        {drivers.length === 0 ? null : (
          <section class="sheet">
            <h2>{t.compare.drivers}</h2>
            <ul class="drivers">
              {drivers.map((driver) => (
                <li key={driver.of}>
                  <span>{driver.of}</span>
                  <span class="rail" aria-hidden="true">
                    <span
                      class={driver.points < 0 ? 'less' : 'more'}
                      style={{ width: `${most > 0 ? (50 * Math.abs(driver.points)) / most : 0}%` }}
                    />
                  </span>
                  <span class="number">{signed(driver.points)}</span>
                </li>
              ))}
            </ul>
            <p class="soft small">{t.compare.driversUnit}</p>
          </section>
        )}
      </div>
      <section class="sheet">
        <h2>{t.compare.differences}</h2>
        <ul class="pairs">
          {differences.map((difference) => (
            <li key={difference.of}>
              <h3>{nameOf(difference.of)}</h3>
              <dl>
                <div>
                  <dt>{t.compare.first}</dt>
                  <dd>
                    <Value m={difference.first} />
                  </dd>
                </div>
                <div>
                  <dt>{t.compare.second}</dt>
                  <dd>
                    <Value m={difference.second} />
                  </dd>
                </div>
                <div>
                  <dt>{difference.told_apart ? t.compare.toldApart : t.compare.notToldApart}</dt>
                  <dd>
                    <Value m={difference.difference} signed />
                  </dd>
                </div>
              </dl>
              {difference.odds_second_greater === null ? null : (
                <p class="soft small">
                  {t.compare.odds(oddsPercent(difference.odds_second_greater))}
                </p>
              )}
            </li>
          ))}
        </ul>
      </section>
    </div>
  );
}
