// SPDX-License-Identifier: Apache-2.0
// What the program warns of. That a grade is not official stands with the odds, where it belongs.
import type { Judged } from '../../api/types';
import { t } from '../../text';

export function Cautions({ warnings }: { warnings: Judged['warnings'] }) {
  const shown = warnings.filter((warning) => warning.code !== 'grade_not_official');
  if (shown.length === 0) return null;
  return (
    <section class="notice care" aria-label={t.face.warnings(shown.length)}>
      <strong>{t.face.warnings(shown.length)}</strong>
      <ul class="stack">
        {shown.map((warning) => (
          <li key={warning.code}>
            {t.face.warning[warning.code] ?? warning.message}
            {t.face.mend[warning.code] === undefined ? null : (
              <p class="small">
                {t.mend} {t.face.mend[warning.code]}
              </p>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
