// What parts promise to keys and screen readers.

import { render, type ComponentChild } from 'preact';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';

import { isSingleKey, setSingleKeys } from '../../src/keys';
import { Button } from '../../src/parts/Button';
import { TextField } from '../../src/parts/Field';
import { SheetView } from '../../src/parts/SheetView';
import { CountsLine, Verdict, VERDICTS } from '../../src/parts/Verdict';

let root: HTMLElement;
beforeEach(() => {
  root = document.createElement('div');
  document.body.append(root);
});
afterEach(() => {
  render(null, root);
  root.remove();
});

function show(part: ComponentChild): void {
  render(part, root);
}

function one(selector: string): HTMLElement {
  const found = root.querySelector<HTMLElement>(selector);
  if (!found) throw new Error(`nothing is ${selector}`);
  return found;
}

describe('a button', () => {
  it('that can’t be pressed says why and stays reachable', () => {
    const press = vi.fn();
    show(
      <Button onPress={press} because="Nothing to undo">
        Undo
      </Button>,
    );
    const button = one('button');
    button.click();
    expect(press).not.toHaveBeenCalled();
    expect(button.hasAttribute('disabled')).toBe(false);
    expect(
      root.querySelector(`#${CSS.escape(button.getAttribute('aria-describedby') ?? '')}`)?.textContent,
    ).toBe('Nothing to undo');
  });
  it('sends its form only when it can be pressed', () => {
    const sent = vi.fn((event: Event) => event.preventDefault());
    const form = (busy: boolean) => (
      <form onSubmit={sent}>
        <Button submit busy={busy}>
          Send
        </Button>
      </form>
    );
    show(form(true));
    one('button').click();
    expect(sent).not.toHaveBeenCalled();
    show(form(false));
    one('button').click();
    expect(sent).toHaveBeenCalledTimes(1);
  });
});

describe('a field', () => {
  it('ties its mistake and its help to the input, and keeps what was typed', () => {
    show(
      <TextField
        label="Length"
        help="From the left corner"
        error="Not a length"
        value="18 2 3"
        onInput={() => {}}
      />,
    );
    const input = one('input');
    const described = (input.getAttribute('aria-describedby') ?? '')
      .split(' ')
      .map((id) => document.getElementById(id)?.textContent);
    expect(described).toEqual(['Not a length', 'From the left corner']);
    expect(input.getAttribute('aria-invalid')).toBe('true');
    expect(input).toHaveProperty('value', '18 2 3');
    expect(one('label').getAttribute('for')).toBe(input.id);
  });
});

describe('a verdict', () => {
  it('is a word, with a shape that is no word', () => {
    for (const verdict of VERDICTS) {
      show(<Verdict verdict={verdict} />);
      expect(root.textContent).toBe(verdict);
      expect(one('svg').getAttribute('aria-hidden')).toBe('true');
    }
  });
  it('has a shape of its own', () => {
    const shapes = VERDICTS.map((verdict) => {
      show(<Verdict verdict={verdict} />);
      return one('svg').innerHTML;
    });
    expect(new Set(shapes).size).toBe(VERDICTS.length);
  });
  it('is counted in words, worst first, those that none has left out', () => {
    show(<CountsLine counts={{ fits: 12, tight: 0, fails: 1, unknown: 3 }} />);
    expect([...root.querySelectorAll('.verdict')].map((line) => line.textContent)).toEqual([
      '1 fails',
      '3 unknown',
      '12 fit',
    ]);
  });
});

it('a sheet shows every kind of content', () => {
  const table = {
    heading: 'Where things go',
    columns: [
      { head: 'Fitted', holds: 'tick' },
      { head: 'What', holds: 'text' },
      { head: 'Verdict', holds: 'verdict' },
    ],
    rows: [['Plate', 'fits']],
    total: [],
  };
  show(
    <SheetView
      sheet={{
        id: 'x',
        title: 'Wall A',
        cautions: ['Ladder work.'],
        contents: [
          { kind: 'text', heading: '', paragraphs: ['A paragraph.'] },
          { kind: 'list', heading: 'To measure', items: ['A point'] },
          { kind: 'table', ...table },
          { kind: 'drawing', heading: '1 : 50', svg_url: '/x.svg', notes: ['A note'], tables: [table] },
          {
            kind: 'findings',
            rows: [
              {
                verdict: 'fails',
                title: 'Throw',
                subject: 'Projector',
                value_text: '3 m',
                limit_text: '4 m',
                margin_text: '−1 m',
                because: 'It is too near.',
                others: ['And low.'],
                source: 'spec sheet',
                remedies: ['Hang it farther back.'],
              },
            ],
          },
        ],
      }}
    />,
  );
  for (const text of [
    'A paragraph.',
    'A point',
    'A note',
    'Ladder work.',
    'It is too near.',
    'And low.',
    'Hang it farther back.',
    '−1 m',
  ]) {
    expect(root.textContent).toContain(text);
  }
  expect(one('img').getAttribute('src')).toBe('/x.svg');
  expect([...root.querySelectorAll('table')].every((each) => each.querySelector('.box') !== null)).toBe(true);
  expect(root.querySelectorAll('td .verdict.fits').length).toBe(2);
});

describe('single keys', () => {
  const press = (target: HTMLElement, init: KeyboardEventInit) => {
    let taken = false;
    const listen = (event: Event) => {
      taken = event instanceof KeyboardEvent && isSingleKey(event, '/');
    };
    addEventListener('keydown', listen, { once: true });
    target.dispatchEvent(new KeyboardEvent('keydown', { ...init, bubbles: true }));
    return taken;
  };
  it('work on the page and not in a field', () => {
    show(
      <div>
        <p>text</p>
        <input type="text" />
        <input type="checkbox" />
      </div>,
    );
    expect(press(one('p'), { key: '/' })).toBe(true);
    expect(press(one('input[type=checkbox]'), { key: '/' })).toBe(true);
    expect(press(one('input[type=text]'), { key: '/' })).toBe(false);
    expect(press(one('p'), { key: '/', ctrlKey: true })).toBe(false);
  });
  it('can be turned off', () => {
    show(<p>text</p>);
    setSingleKeys(false);
    expect(press(one('p'), { key: '/' })).toBe(false);
    setSingleKeys(true);
    expect(press(one('p'), { key: '/' })).toBe(true);
  });
});
