import { describe, expect, it } from 'vitest';
import { afterKey, asFile, extraKeys, unitsOf } from '../../src/model/typed';

const keyed = (keys: string[]) => keys.reduce(afterKey, '');

describe('what is typed, as the file takes it', () => {
  it('is millimetres and degrees as it stands', () => {
    expect(asFile('178.5', 'mm')).toBe('178.5');
    expect(asFile(' -1.5 ', '°')).toBe('-1.5');
    expect(asFile('0', 'mm')).toBe('0');
  });

  it('has its unit where that is another one', () => {
    expect(asFile('2 3/8', 'in')).toBe('2 3/8 in');
    expect(asFile('11/16', 'in')).toBe('11/16 in');
    expect(asFile('-15', 'thou')).toBe('-15 thou');
    expect(asFile("5°30'", "°'")).toBe("5°30'");
    expect(asFile('5°30', "°'")).toBe("5°30'");
    expect(asFile('5°', "°'")).toBe('5°');
    expect(asFile('5.5', "°'")).toBe('5.5');
  });

  it('takes the comma and the sign of a printed text', () => {
    expect(asFile('178,5', 'mm')).toBe('178.5');
    expect(asFile('−1,5', 'in')).toBe('-1.5 in');
  });

  it('leaves what has a unit of its own, and what is none of it, to the core', () => {
    expect(asFile('15 thou', 'mm')).toBe('15 thou');
    expect(asFile('178 mm', 'in')).toBe('178 mm');
    expect(asFile(' abc ', 'in')).toBe('abc');
    for (const unit of [...unitsOf('length'), ...unitsOf('angle')]) {
      expect(asFile('', unit)).toBe('');
      expect(asFile('  ', unit)).toBe('');
    }
  });
});

describe('the keys', () => {
  it('type at the end', () => {
    expect(keyed(['1', '7', '8', '.', '5'])).toBe('178.5');
    expect(keyed(['2', ' ', '3', '/', '8'])).toBe('2 3/8');
    expect(keyed(['5', '°', '3', '0'])).toBe('5°30');
  });

  it('turn the sign round, whenever it is pressed', () => {
    expect(keyed(['-', '5'])).toBe('-5');
    expect(keyed(['5', '-'])).toBe('-5');
    expect(keyed(['5', '-', '.', '2', '-'])).toBe('5.2');
  });

  it('take one point a number', () => {
    expect(keyed(['1', '.', '.', '5', '.'])).toBe('1.5');
    expect(keyed(['.', '5'])).toBe('.5');
    // Minutes are a number of their own.
    expect(keyed(['5', '.', '5', '°', '3', '.', '5'])).toBe('5.5°3.5');
  });

  it('take back one, or all', () => {
    expect(keyed(['1', '2', 'back'])).toBe('1');
    expect(keyed(['back'])).toBe('');
    expect(keyed(['1', '2', 'clear'])).toBe('');
  });

  it('stop where no reading is that long, and go back from there', () => {
    const full = keyed(Array.from({ length: 30 }, () => '7'));
    expect(full).toBe('7'.repeat(12));
    expect(afterKey(full, '.')).toBe(full);
    expect(afterKey(full, '-')).toBe(`-${full}`);
    expect(afterKey(full, 'back')).toBe('7'.repeat(11));
  });

  it('are those that the unit needs', () => {
    expect(extraKeys('mm')).toEqual([]);
    expect(extraKeys('thou')).toEqual([]);
    expect(extraKeys('°')).toEqual([]);
    expect(extraKeys('in')).toEqual([' ', '/']);
    expect(extraKeys("°'")).toEqual(['°']);
  });
});
