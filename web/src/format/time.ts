// SPDX-License-Identifier: Apache-2.0
// Times: UTC inside, the reader's own zone on the page.

// The reader's own way of writing dates in the page's language (en: day or month first); where it
// says no more than the language, day first.
function localeOf(language: string): string {
  const own = navigator.languages.find((one) => one.split('-')[0] === language);
  return own === undefined || own === 'en' ? (language === 'en' ? 'en-GB' : language) : own;
}

export function dateTime(utc: string, language: string): string {
  return new Intl.DateTimeFormat(localeOf(language), {
    dateStyle: 'medium',
    timeStyle: 'short',
  }).format(new Date(utc));
}

export function date(utc: string, language: string): string {
  return new Intl.DateTimeFormat(localeOf(language), { dateStyle: 'medium' }).format(new Date(utc));
}

export function wholeDaysBetween(fromUtc: string, toUtc: string): number {
  return Math.floor((Date.parse(toUtc) - Date.parse(fromUtc)) / 86_400_000);
}
