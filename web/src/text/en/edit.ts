// SPDX-License-Identifier: Apache-2.0

export const edit = {
  title: 'Put outlines right',
  words:
    'Drag a point: the line between its neighbours follows. Zoom in for more points. With the keyboard: Tab to a point, arrow keys move it, Shift moves further.',
  which: 'Outline',
  face: 'The face',
  undo: 'Undo',
  measure: 'Measure again',
  measuring: 'Measuring within your outlines',
  point: (n: number, total: number) => `Point ${n} of ${total}`,
  nothing: 'Nothing was moved yet.',
  leave: 'Leave without measuring',
  hole: (n: number) => `, part ${n}`,
};
