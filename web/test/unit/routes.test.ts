// Links and paths are each other's inverse.

import { describe, expect, it } from 'vitest';

import { link, MOMENTS, routeAt } from '../../src/routes';

describe('link', () => {
  it('fills in the path and encodes it', () => {
    expect(link('why', { id: '7', key: 'throw~loft~a/b c' })).toBe('/job/7/why/throw~loft~a%2Fb%20c');
  });
  it('leaves out what is not set', () => {
    expect(link('fit', { id: '7' }, { room: 'den', at: null, view: '' })).toBe('/job/7/fit?room=den');
  });
});

describe('routeAt', () => {
  it('finds each moment at its link', () => {
    for (const { moment } of MOMENTS) {
      expect(routeAt(link(moment, { id: 'x' }))).toMatchObject({ name: moment, params: { id: 'x' } });
    }
  });
  it('gives back what the link was made of', () => {
    const key = 'arm-clear~living~bar+mantel/ü';
    expect(routeAt(link('why', { id: '7', key }))?.params).toEqual({ id: '7', key });
  });
  it('bears a slash at the end', () => expect(routeAt('/sharing/')?.name).toBe('sharing'));
  it.each(['/nowhere', '/job/7', '/job//fit', '/job/7/fit/more', '/job/%E0%A4%A/fit'])(
    'knows no page at %s',
    (path) => {
      expect(routeAt(path)).toBeNull();
    },
  );
});
