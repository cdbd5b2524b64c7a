// SPDX-License-Identifier: Apache-2.0
// Who is signed in and how the house wants numbers. Kept for the whole page; what was last known is
// also kept on the device, so that photos can be taken (not sent) while the program is out of reach.
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Permission, Session, Settings } from '../api/types';
import type { Units } from '../format/measured';

export interface House {
  session: Session;
  settings: Settings;
  reach: boolean; // whether the program answered last time
  setSettings: (settings: Settings) => void;
  signOut: () => void;
  again: () => void; // ask whether the program answers, now
}

export const HouseContext = createContext<House | null>(null);

export function useHouse(): House {
  const house = useContext(HouseContext);
  if (house === null) throw new Error('useHouse outside of a signed-in page');
  return house;
}

export function useMay(what: Permission): boolean {
  return useHouse().session.may.includes(what);
}

export function useUnits(): Units {
  return useHouse().settings.units;
}

const KEY = 'ribwright.last';

// Nothing secret: the name shown, the rights that decide what is offered, the settings.
interface Last {
  user: Session['user'];
  may: Permission[];
  settings: Settings;
}

export function keepLast(session: Session, settings: Settings): void {
  const last: Last = { user: session.user, may: session.may, settings };
  localStorage.setItem(KEY, JSON.stringify(last));
}

export function forgetLast(): void {
  localStorage.removeItem(KEY);
}

export function lastKnown(): { session: Session; settings: Settings } | null {
  const text = localStorage.getItem(KEY);
  if (text === null) return null;
  try {
    const { user, may, settings } = JSON.parse(text) as Last;
    return { session: { user, may, csrf_token: '', expires_at: '' }, settings };
  } catch {
    return null;
  }
}
