// SPDX-License-Identifier: Apache-2.0
// What names and passwords may be, as schema/openapi.json has it, so that a form can say so before
// it is sent; the program decides.

export function isUserName(text: string): boolean {
  return /^[a-z0-9][a-z0-9._-]{1,31}$/.test(text);
}

export function isPassword(text: string): boolean {
  return text.length >= 10 && text.length <= 256;
}
