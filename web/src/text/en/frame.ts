// SPDX-License-Identifier: Apache-2.0
// Around every screen: navigation, buttons, what goes wrong, what is out of reach.

export const frame = {
  product: 'Ribwright',
  skip: 'Skip to the page',
  newVersion: 'A new version of this page is ready.',
  loadIt: 'Load it',
  busy: 'Loading',
  again: 'Try again',
  cancel: 'Cancel',
  close: 'Close',
  save: 'Save',
  back: 'Back',
  notKnown: 'not known',
  mend: 'What helps:',
  where: 'Where:',
  official: 'Official grades are given only by graders.',
  safety: 'It judges looks, not safety.',
  nav: {
    today: 'Today',
    judge: 'Judge',
    compare: 'Side by side',
    ledger: 'Ledger',
    settings: 'Settings',
  },
  navLabel: 'Screens',
  offline: 'Out of reach',
  offlineLong:
    'The program cannot be reached. Photos you take now wait on this device and are sent when it answers.',
  offlinePart: 'Shown when the program answers again.',
  waiting: (n: number) => (n === 1 ? '1 photo waits' : `${n} photos wait`),
  trouble: {
    unreachable: 'The program does not answer.',
    unreachableMend:
      'Look whether it runs and whether this device is in the same network, then try again.',
    unexpected: 'The program gave an answer that this page does not understand.',
    unexpectedMend:
      'Load the page anew; if it stays so, the program and the page may be of different versions.',
    notAllowed: 'Your role may not do this.',
    notAllowedMend: 'Ask the owner of the house to change your role or to do it for you.',
    first: 'What came first:',
  },
  unknownScreen: 'There is no such screen.',
};
