import { describe, expect, it } from 'vitest';
import { Newest, nextStep, phaseAfter, phaseOf, valueAt } from '../../src/scene/play';

describe('playing', () => {
  it('goes on from where the slider stands, within what it reaches', () => {
    for (const value of [0, 20, -35]) {
      const phase = phaseOf(value, -60, 60);
      expect(valueAt(phase, -60, 60, 1)).toBe(value);
      expect(valueAt(phaseAfter(phase, 100), -60, 60, 1)).toBeGreaterThan(value);
    }
    // From farther out than it plays: from the end of its way.
    expect(valueAt(phaseOf(60, -60, 60), -60, 60, 1)).toBe(42);
    let [low, high] = [Infinity, -Infinity];
    for (let ms = 0; ms < 5000; ms += 10) {
      const v = valueAt(phaseAfter(0, ms), -60, 60, 1);
      low = Math.min(low, v);
      high = Math.max(high, v);
    }
    expect([low, high]).toEqual([-42, 42]);
  });

  it('steps there and back in a dozen steps', () => {
    const values: number[] = [];
    for (let i = 0, phase = 0; i < 12; ++i) {
      phase = nextStep(phase);
      values.push(valueAt(phase, -6, 6, 0.1));
    }
    expect(values[2]).toBe(4.2);
    expect(values[8]).toBe(-4.2);
    expect(values[11]).toBeCloseTo(0, 9);
    expect(values.every((v) => !Object.is(v, -0))).toBe(true);
  });
});

describe('asking', () => {
  const asked: number[] = [];
  const answers: { take: (x: number) => void; fail: (why: Error) => void }[] = [];
  const put = (ask: number) => {
    asked.push(ask);
    return new Promise<number>((take, fail) => answers.push({ take, fail }));
  };
  const turn = () => new Promise((r) => setTimeout(r));

  it('asks one at a time and of those waiting only the newest', async () => {
    const came: number[] = [];
    const failed: unknown[] = [];
    const newest = new Newest<number, number>(
      put,
      (r) => came.push(r),
      (e) => failed.push(e),
    );
    for (const ask of [1, 2, 3, 4]) newest.ask(ask);
    expect(asked).toEqual([1]);
    expect(newest.idle).toBe(false);
    answers[0]!.take(10);
    await turn();
    expect(asked).toEqual([1, 4]);
    expect(came).toEqual([10]);
    answers[1]!.fail(new Error('gone'));
    await turn();
    expect(failed).toHaveLength(1);
    expect(newest.idle).toBe(true);
    newest.ask(5);
    answers[2]!.take(50);
    await turn();
    expect(came).toEqual([10, 50]);
    // What comes after the end is told to nobody.
    newest.ask(6);
    newest.end();
    answers[3]!.take(60);
    await turn();
    expect(came).toEqual([10, 50]);
    newest.ask(7);
    expect(asked).toEqual([1, 4, 5, 6]);
  });
});
