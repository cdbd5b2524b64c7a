// SPDX-License-Identifier: Apache-2.0
// Following a job: server-sent events named `job`. Where the stream breaks off, the job is asked
// for and the stream opened anew, REOPEN_MS later so that a busy program is not pressed. Resolves
// when the job is done or has failed, when it cannot be reached TRIES times running, or on abort.
import { request, url } from './client';
import { done, failed, unreachable, type Result } from './result';
import type { Job } from './types';

const TRIES = 4;
const REOPEN_MS = 700;

function over(job: Job): boolean {
  return job.state === 'done' || job.state === 'failed';
}

export function followJob(
  id: string,
  onChange: (job: Job) => void,
  signal: AbortSignal,
): Promise<Result<Job>> {
  return new Promise((resolve) => {
    let stream: EventSource | null = null;
    let broken = 0;
    let ended = false;
    const end = (result: Result<Job>) => {
      ended = true;
      stream?.close();
      resolve(result);
    };
    const take = (job: Job) => {
      if (ended) return;
      onChange(job);
      if (over(job)) end(done(job));
    };
    const askAgain = async () => {
      stream?.close();
      broken += 1;
      const answer = await request<Job>(url(`jobs/${id}`), { signal });
      if (ended) return;
      if (answer.ok) take(answer.value);
      else if (!answer.trouble.offline || broken >= TRIES) end(answer);
      setTimeout(open, REOPEN_MS);
    };
    function open() {
      if (ended) return;
      stream = new EventSource(url(`jobs/${id}/events`));
      stream.addEventListener('job', (event: MessageEvent<string>) => {
        broken = 0;
        take(JSON.parse(event.data) as Job);
      });
      stream.onerror = () => {
        if (!ended) void askAgain();
      };
    }
    signal.addEventListener('abort', () => {
      end(failed(unreachable()));
    });
    open();
  });
}
