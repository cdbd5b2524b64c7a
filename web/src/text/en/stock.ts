// SPDX-License-Identifier: Apache-2.0
// Further tabs of the ledger.

export const stock = {
  par: 'Par',
  empty: 'Nothing is in stock.',
  oldestOf: (days: string) => `oldest ${days}`,
  piecesOf: (n: number) => (n === 1 ? '1 piece' : `${n} pieces`),
  parOf: (mass: string) => `par ${mass}`,
  shortOf: (mass: string) => `${mass} short`,
  setPar: 'Set par',
  parFor: (cut: string, place: string) => `Set par for ${cut}, ${place}`,
  parHint: 'Left empty: no par.',
};

export const count = {
  title: 'Count the stock',
  words: 'Weigh what is there. What you leave empty counts as not found.',
  place: 'Place to count',
  start: 'Start',
  expected: (mass: string) => `ledger: ${mass}`,
  counted: 'Counted',
  reason: 'Reason',
  reasonHint: 'When it differs: such as purge, wrong label, staff meal.',
  close: 'Close the count',
  nothing: 'The ledger has nothing in stock here.',
  result: 'Counted against the ledger',
  variance: 'Difference',
  notFound: 'not found',
  earlier: 'Earlier counts',
  noEarlier: 'No count yet.',
};

export const search = {
  label: 'Words, labels, lots, suppliers',
  send: 'Search',
  nothing: 'Nothing found.',
};
