// SPDX-License-Identifier: Apache-2.0
// Times: UTC inside, the reader's own zone on the page.

export function dateTime(utc: string, language: string): string {
  return new Intl.DateTimeFormat(language, { dateStyle: 'medium', timeStyle: 'short' }).format(
    new Date(utc),
  );
}

export function date(utc: string, language: string): string {
  return new Intl.DateTimeFormat(language, { dateStyle: 'medium' }).format(new Date(utc));
}

export function wholeDaysBetween(fromUtc: string, toUtc: string): number {
  return Math.floor((Date.parse(toUtc) - Date.parse(fromUtc)) / 86_400_000);
}
