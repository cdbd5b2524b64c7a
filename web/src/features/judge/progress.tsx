// SPDX-License-Identifier: Apache-2.0
// Two real shares, one after the other: bytes that have left, stages of the judging that are done.
import type { Job } from '../../api/types';
import { percent } from '../../format/measured';
import { t } from '../../text';

export function Progress({ share, job }: { share: number | null; job: Job | null }) {
  const words =
    job === null
      ? t.judge.sending
      : job.ahead > 0
        ? t.judge.ahead(job.ahead)
        : t.judge.stages[job.stage];
  return (
    <section class="sheet" role="status">
      <h2>{words}</h2>
      {job === null ? (
        <>
          <progress value={share ?? 0} max={1} aria-label={t.judge.sending} />
          <p class="soft number">{t.judge.sent(percent(share ?? 0))}</p>
        </>
      ) : (
        <progress value={job.progress} max={1} aria-label={words} />
      )}
    </section>
  );
}
