// SPDX-License-Identifier: Apache-2.0

export const today = {
  title: 'Today',
  photograph: 'Photograph a face',
  faces: 'Judged last',
  noFaces:
    'No face has been judged yet. Photograph a cut face, from straight above, with the card beside it.',
  short: 'Below par',
  noShort: 'Nothing is below its par.',
  events: 'Written last',
  noEvents: 'The ledger is empty. Receive the first piece.',
  stock: (pieces: number, mass: string) =>
    `${pieces === 1 ? '1 piece' : `${pieces} pieces`}, ${mass} in stock`,
  missing: (mass: string) => `${mass} short`,
  par: (par: string) => `par ${par}`,
};
