// SPDX-License-Identifier: Apache-2.0

export const assign = {
  title: 'Keep with a piece',
  words: 'The numbers then stand in the ledger of that piece.',
  scan: 'Scan its label',
  scanStop: 'Stop scanning',
  scanning: 'Hold the label in front of the camera.',
  noScan: 'This browser cannot read labels with the camera; type what is printed on it.',
  code: 'Label',
  find: 'Find',
  unknown: (code: string) => `No piece has the label “${code}”.`,
  pick: 'Or pick a piece in stock',
  nothing: 'No piece is in stock.',
};
