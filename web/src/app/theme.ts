// SPDX-License-Identifier: Apache-2.0
// Light or dark: the choice of this device, else what its system asks for.

export type Theme = 'system' | 'light' | 'dark';

const KEY = 'ribwright.theme';
const dark = matchMedia('(prefers-color-scheme: dark)');

export function theme(): Theme {
  const kept = localStorage.getItem(KEY);
  return kept === 'light' || kept === 'dark' ? kept : 'system';
}

function apply(): void {
  const wanted = theme();
  const now = wanted === 'system' ? (dark.matches ? 'dark' : 'light') : wanted;
  document.documentElement.dataset.theme = now;
}

export function setTheme(wanted: Theme): void {
  localStorage.setItem(KEY, wanted);
  apply();
}

export function startTheme(): void {
  apply();
  dark.addEventListener('change', apply);
}
