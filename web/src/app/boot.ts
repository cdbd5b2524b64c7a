// SPDX-License-Identifier: Apache-2.0
// How the page starts: who is signed in, or that nobody is, that the owner is still to be made, or
// that the program is out of reach; in the last case with what was known before.
import { request, url, setCsrfToken } from '../api/client';
import type { Result, Trouble } from '../api/result';
import type { Session, Settings, SetupState } from '../api/types';
import { setLanguage } from '../text';
import { forgetLast, keepLast, lastKnown } from './session';

export type Start =
  | { kind: 'signed_in'; session: Session; settings: Settings; reach: boolean }
  | { kind: 'signed_out'; ownerNeeded: boolean }
  | { kind: 'trouble'; trouble: Trouble };

async function signedOut(): Promise<Start> {
  forgetLast();
  const setup = await request<SetupState>(url('setup'));
  if (!setup.ok) return { kind: 'trouble', trouble: setup.trouble };
  return { kind: 'signed_out', ownerNeeded: setup.value.owner_needed };
}

function outOfReach(trouble: Trouble): Start {
  const last = lastKnown();
  if (!trouble.offline || last === null) return { kind: 'trouble', trouble };
  setLanguage(last.settings.language);
  return { kind: 'signed_in', ...last, reach: false };
}

// `asked`: the settings, where they were asked for already.
export async function startWith(
  session: Session,
  asked: Promise<Result<Settings>> = request<Settings>(url('settings')),
): Promise<Start> {
  setCsrfToken(session.csrf_token);
  const settings = await asked;
  if (!settings.ok) return outOfReach(settings.trouble);
  setLanguage(settings.value.language);
  keepLast(session, settings.value);
  return { kind: 'signed_in', session, settings: settings.value, reach: true };
}

export async function start(): Promise<Start> {
  // both at once: on a slow phone each question costs
  const asked = request<Settings>(url('settings'));
  const session = await request<Session>(url('session'));
  if (session.ok) return startWith(session.value, asked);
  if (session.trouble.status === 401) return signedOut();
  return outOfReach(session.trouble);
}
