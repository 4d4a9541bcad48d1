import { describe, expect, it } from 'vitest';
import type { Started } from '../../src/model/contract';
import { fileName, noDraft, StartSteps, type StartDraft } from '../../src/model/start';

const choice = (id: string) => ({ id, headline: id, look: '', trade: '', refused: '', svg: '' });
const value = (id: string) => ({ id, label: id, how: '', usual: '1' });
const question = (id: string, choices: string[], values: string[] = []) => ({
  id,
  question: `${id}?`,
  help: '',
  caution: '',
  needed: false,
  choices: choices.map(choice),
  values: values.map(value),
});

// A core that asks for a detail once the front is two arms, and knows no length above 9.
function core(answers: { question: string; answer: string }[]): Started {
  const given = Object.fromEntries(answers.map((a) => [a.question, a.answer]));
  const faults = Number(given.size) > 9 ? [{ question: 'size', what: 'too large' }] : [];
  return {
    questions: [
      question('front', ['strut', 'arms']),
      ...(given.front === 'arms' ? [question('detail', ['a', 'b'])] : []),
      question('tape', [], ['size']),
    ],
    faults,
    left_out: [],
    summary: [],
    text: given.front && faults.length === 0 ? `front = ${given.front}` : '',
    why: '',
  };
}

function steps(draft: StartDraft = noDraft) {
  const kept: StartDraft[] = [];
  const asked: number[] = [];
  const waiting: (() => void)[] = [];
  let slow = false;
  const engine = {
    ask: (_: string, ask: { answers: { question: string; answer: string }[] }) => {
      asked.push(ask.answers.length);
      const reply = core(ask.answers);
      if (!slow) return Promise.resolve(reply);
      return new Promise((resolve) => waiting.push(() => resolve(reply)));
    },
  };
  const it = new StartSteps(engine as never, draft, (d) => kept.push(d));
  return { it, kept, asked, waiting, slowly: () => (slow = true) };
}

describe('start', () => {
  it('goes from question to question, and a picked answer brings its own', async () => {
    const { it: start } = steps();
    await start.ask();
    expect(start.question?.id).toBe('front');
    expect(start.progress).toBe('1 of 3');
    await start.pick('front', 'arms');
    expect(start.progress).toBe('1 of 4');
    await start.next();
    expect(start.question?.id).toBe('detail');
    await start.pick('detail', 'b');
    await start.next();
    await start.next();
    expect(start.question).toBeNull();
    expect(start.view.draft.at).toBe('end');
    expect(start.progress).toBe('4 of 4');
    expect(start.view.started?.text).toBe('front = arms');
  });

  it('does not go on without a pick, nor past what cannot be', async () => {
    const { it: start } = steps();
    await start.ask();
    await start.next();
    expect(start.question?.id).toBe('front');
    expect(start.view.complaint).not.toBe('');
    await start.pick('front', 'strut');
    expect(start.view.complaint).toBe('');
    await start.next();
    start.type('size', '11');
    await start.next();
    expect(start.question?.id).toBe('tape');
    expect(start.faultOf('size')).toBe('too large');
    start.type('size', '8');
    await start.next();
    expect(start.question).toBeNull();
  });

  it('keeps every answer over going back and over a reload', async () => {
    const { it: start, kept } = steps();
    await start.ask();
    await start.pick('front', 'arms');
    await start.next();
    await start.pick('detail', 'a');
    start.back();
    start.back();
    expect(start.question?.id).toBe('front');
    await start.pick('front', 'strut');
    expect(start.questions.map((q) => q.id)).toEqual(['front', 'tape']);
    await start.pick('front', 'arms');
    await start.next();
    // What was answered there stands still.
    expect(start.view.draft.answers).toEqual({ front: 'arms', detail: 'a' });
    const { it: again } = steps(kept.at(-1)!);
    await again.ask();
    expect(again.question?.id).toBe('detail');
    expect(again.view.draft.answers).toEqual({ front: 'arms', detail: 'a' });
    start.leave();
    expect(kept.at(-1)!.open).toBe(false);
  });

  it('a question that is no more sends it to the beginning', async () => {
    const { it: start } = steps({ answers: { front: 'strut' }, at: 'detail', open: true });
    await start.ask();
    expect(start.question?.id).toBe('front');
  });

  it('shows the answer to the latest answers only', async () => {
    const { it: start, waiting, slowly } = steps();
    await start.ask();
    slowly();
    const first = start.pick('front', 'arms');
    const second = start.pick('front', 'strut');
    waiting[1]!();
    await second;
    waiting[0]!();
    await first;
    expect(start.view.started?.text).toBe('front = strut');
  });

  it('says what went wrong, and goes on afterwards', async () => {
    let broken = true;
    const start = new StartSteps(
      {
        ask: (() =>
          broken ? Promise.reject(new Error('no core')) : Promise.resolve(core([]))) as never,
      },
      noDraft,
      () => {},
    );
    await start.ask();
    expect(start.view.trouble).toContain('no core');
    broken = false;
    await start.ask();
    expect(start.view.trouble).toBe('');
    expect(start.question?.id).toBe('front');
  });
});

describe('the file of a started car', () => {
  it('is named after the car', () => {
    expect(fileName("Mibbo's Zörbel, blue")).toBe('mibbo-s-zörbel-blue.toml');
    expect(fileName('  ')).toBe('my-car.toml');
    expect(fileName('../..')).toBe('my-car.toml');
  });
});
