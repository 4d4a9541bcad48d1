import { describe, expect, it } from 'vitest';
import { History } from '../../src/model/history';

describe('history', () => {
  it('goes back and forth between texts', () => {
    const h = new History('a');
    expect(h.undoes).toBeNull();
    expect(h.edit('a', 'nothing')).toBe(false);
    h.edit('b', 'to b');
    h.edit('c', 'to c');
    expect(h.undoes).toBe('to c');
    expect(h.undo()).toBe(true);
    expect([h.text, h.undoes, h.redoes]).toEqual(['b', 'to b', 'to c']);
    h.undo();
    expect(h.undo()).toBe(false);
    expect(h.text).toBe('a');
    h.redo();
    h.redo();
    expect(h.redo()).toBe(false);
    expect(h.text).toBe('c');
  });

  it('forgets what was undone once something else is done', () => {
    const h = new History('a');
    h.edit('b', 'to b');
    h.undo();
    h.edit('c', 'to c');
    expect(h.redoes).toBeNull();
    h.undo();
    expect(h.text).toBe('a');
  });

  it('does not grow without end', () => {
    const h = new History('0');
    for (let i = 1; i <= 500; ++i) h.edit(String(i), 'x');
    let steps = 0;
    while (h.undo()) ++steps;
    expect(steps).toBe(200);
  });
});
