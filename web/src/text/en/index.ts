// SPDX-License-Identifier: Apache-2.0
// Every sentence of the front, in English, a file a screen. Another language is another folder of
// this shape. What the program itself says (problems, warnings, bases) comes in its own words.
import { assign } from './assign';
import { compare } from './compare';
import { edit } from './edit';
import { eventWords } from './event_words';
import { face } from './face';
import { frame } from './frame';
import { judge } from './judge';
import { ledger } from './ledger';
import { settings, users } from './settings';
import { signIn, setup } from './sign_in';
import { stock, count, search } from './stock';
import { today } from './today';
import { write } from './write';

export const en = {
  ...frame,
  signIn,
  setup,
  today,
  judge,
  face,
  edit,
  assign,
  compare,
  ledger,
  eventWords,
  write,
  stock,
  count,
  search,
  settings,
  users,
};

export type Texts = typeof en;
