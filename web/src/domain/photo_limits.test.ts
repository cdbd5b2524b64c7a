// SPDX-License-Identifier: Apache-2.0
import { expect, it } from 'vitest';
import { MOST_BYTES, tooMuch } from './photo_limits';

it('takes a photo up to the limits and names the one that is passed', () => {
  expect(tooMuch({ bytes: MOST_BYTES, width: 10_000, height: 10_000 })).toBe(null);
  expect(tooMuch({ bytes: MOST_BYTES + 1, width: 0, height: 0 })).toBe('bytes');
  expect(tooMuch({ bytes: 1000, width: 10_001, height: 10_000 })).toBe('pixels');
  expect(tooMuch({ bytes: 1000, width: 0, height: 0 })).toBe(null);
  expect(tooMuch({ bytes: 0, width: 0, height: 0 })).toBe('empty');
});
