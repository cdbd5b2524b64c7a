// SPDX-License-Identifier: Apache-2.0
// What a request gave: a value, or a problem that a person can act on. `offline` says that no
// answer came at all, so the same request may be sent again; `happened` is the event that came
// first, where two people wanted the same piece.
import type { LedgerEvent, Problem } from './types';

export interface Trouble {
  offline: boolean;
  status: number;
  code: string;
  detail: string;
  where: string;
  mend: string;
  happened?: LedgerEvent | undefined;
}

export type Result<T> = { ok: true; value: T } | { ok: false; trouble: Trouble };

export function done<T>(value: T): Result<T> {
  return { ok: true, value };
}

export function failed<T>(trouble: Trouble): Result<T> {
  return { ok: false, trouble };
}

export function unreachable(): Trouble {
  return { offline: true, status: 0, code: 'unreachable', detail: '', where: '', mend: '' };
}

function isProblem(body: unknown): body is Problem {
  return typeof body === 'object' && body !== null && 'code' in body && 'detail' in body;
}

export function troubleFrom(status: number, body: unknown): Trouble {
  if (!isProblem(body)) {
    return { offline: false, status, code: 'unexpected', detail: '', where: '', mend: '' };
  }
  return {
    offline: false,
    status,
    code: body.code,
    detail: body.detail || body.title,
    where: body.where,
    mend: body.mend,
    happened: body.happened,
  };
}
