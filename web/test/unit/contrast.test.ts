// Every contrast of the colour tokens, computed again by WCAG 2.2's definition, and the rule that
// colours stand in the token list only.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

import { describe, expect, it } from 'vitest';

const SRC = join(import.meta.dirname, '../../src');
const STYLE = readFileSync(join(SRC, 'style.css'), 'utf8');
const GROUNDS = ['ground', 'raised', 'sunken'];
const THEMES = ['light', 'dark'] as const;

describe.each(THEMES)('%s colours', (theme) => {
  const color = (token: string) => {
    const both = new RegExp(`--${token}: light-dark\\((#[0-9a-f]{6}), (#[0-9a-f]{6})\\)`).exec(STYLE);
    const found = both?.[theme === 'light' ? 1 : 2];
    if (!found) throw new Error(`style.css has no token --${token}`);
    return found;
  };

  // WCAG 2.2, 1.4.3: text at least 4.5 : 1.
  it.each(['ink', 'ink-soft', 'accent', 'fits', 'tight', 'fails', 'unknown'])(
    '%s is legible as text',
    (token) => {
      for (const ground of GROUNDS) {
        expect(contrast(color(token), color(ground)), `${token} on ${ground}`).toBeGreaterThanOrEqual(4.5);
      }
    },
  );

  // WCAG 2.2, 1.4.11: borders of controls at least 3 : 1.
  it.each(GROUNDS)('line is seen on %s', (ground) => {
    expect(contrast(color('line'), color(ground))).toBeGreaterThanOrEqual(3);
  });

  it('words on the accent and on its wash are legible', () => {
    expect(contrast(color('on-accent'), color('accent'))).toBeGreaterThanOrEqual(4.5);
    for (const token of ['ink', 'accent', 'fits', 'tight', 'fails', 'unknown']) {
      expect(contrast(color(token), color('accent-wash')), token).toBeGreaterThanOrEqual(4.5);
    }
  });

  // Of near-equal lightness, so that nobody leans on colour: within a factor of 1.8 of each other.
  it('verdicts differ little in lightness', () => {
    const lightness = ['fits', 'tight', 'fails', 'unknown'].map((token) =>
      contrast(color(token), color('ground')),
    );
    expect(Math.max(...lightness) / Math.min(...lightness)).toBeLessThan(1.8);
  });
});

describe('the formula', () => {
  // WCAG 2.2's glossary: white on black is 21 : 1, the largest there is.
  it('gives 21 for white on black', () => expect(contrast('#ffffff', '#000000')).toBeCloseTo(21, 10));
  it('gives 1 for a colour on itself', () => expect(contrast('#075a8e', '#075a8e')).toBe(1));
  // Relative luminance of the sRGB primaries: the coefficients of the definition themselves.
  it('weighs green most', () => expect(luminance('#00ff00')).toBeCloseTo(0.7152, 10));
});

it('colours stand in the token list only', () => {
  const tokens = STYLE.slice(STYLE.indexOf(':root {'), STYLE.indexOf('--small'));
  const elsewhere = files(SRC)
    .filter((file) => /\.(css|tsx?)$/.test(file))
    .flatMap((file) => {
      const text = readFileSync(file, 'utf8').replace(tokens, '');
      // Shadows and the shade behind a dialog are black with some transparency in either theme.
      const found =
        text.match(/#[0-9a-f]{6}\b|#[0-9a-f]{3}\b(?=[;,) ])|\b(rgba?|hsla?|oklch)\((?!0 0 0)/gi) ?? [];
      return found.map((color) => `${file}: ${color}`);
    });
  expect(elsewhere).toEqual([]);
});

function files(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
}

/** WCAG 2.2, glossary, "contrast ratio". */
function contrast(a: string, b: string): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return ((light ?? 0) + 0.05) / ((dark ?? 0) + 0.05);
}

/** WCAG 2.2, glossary, "relative luminance". */
function luminance(color: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const part = parseInt(color.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
