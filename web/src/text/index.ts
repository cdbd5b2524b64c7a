// SPDX-License-Identifier: Apache-2.0
// The sentences in use. One language so far; `languages` is what Settings offers.
import { en, type Texts } from './en';

const all: Record<string, { name: string; texts: Texts }> = { en: { name: 'English', texts: en } };

export const languages: readonly [code: string, name: string][] = Object.entries(all).map(
  ([code, { name }]) => [code, name],
);

export let t: Texts = en;
export let language = 'en';

export function setLanguage(code: string): void {
  language = code in all ? code : 'en';
  t = all[language]?.texts ?? en;
  document.documentElement.lang = language;
}
