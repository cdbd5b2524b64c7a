// SPDX-License-Identifier: Apache-2.0
// Signing in, and the first run that makes the owner.

export const signIn = {
  title: 'Sign in',
  name: 'Name',
  password: 'Password',
  show: 'Show the password',
  send: 'Sign in',
  out: 'Sign out',
  who: (name: string) => `Signed in as ${name}`,
  ownerNeeded:
    'Nobody has an account here yet. Open the one-time link that the program printed on its terminal.',
};

export const setup = {
  title: 'First run',
  words: 'This link makes the owner of the house: the one who sees everything and adds the others.',
  name: 'Name to sign in with',
  nameHint: 'Small letters, digits, dot, dash; at least 2.',
  fullName: 'Name as shown (may stay empty)',
  password: 'Password',
  passwordHint: 'At least 10 characters. A few words in a row do well.',
  repeat: 'Password again',
  differ: 'The two passwords differ.',
  short: 'At least 10 characters are needed.',
  badName:
    'Small letters, digits, dot, dash or underscore; it starts with a letter or digit and has 2 to 32 characters.',
  send: 'Make the owner',
  noToken: 'The link is not whole. Copy all of it from the terminal.',
  done: 'There is an owner already; the link was used.',
};
