// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from 'vitest';
import { link, routeFrom } from './route';

describe('a route', () => {
  it('is read from behind the hash', () => {
    const route = routeFrom('#/setup?token=a_b-C');
    expect(route.parts).toEqual(['setup']);
    expect(route.query.get('token')).toBe('a_b-C');
    expect(routeFrom('').parts).toEqual([]);
    expect(routeFrom('#').parts).toEqual([]);
  });
  it('gives back the parts a link was made of', () => {
    const parts = ['pieces', 'a/b c?d'];
    expect(routeFrom(link(...parts)).parts).toEqual(parts);
  });
});
