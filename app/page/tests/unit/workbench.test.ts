import { describe, expect, it } from 'vitest';
import type { Kind, Looked, Ranked, Tried } from '../../src/model/contract';
import { Engine, type Came, type Post, type Working } from '../../src/model/engine';
import type { Keeper, Kept, Saved } from '../../src/model/keeper';
import { troublesOf, Workbench } from '../../src/model/workbench';

type Ask = { kind: Kind; text: string; [key: string]: unknown };

// Answers by a function, a moment later; `hold` keeps answers back.
class Core implements Working {
  onmessage: ((event: { data: Came }) => void) | null = null;
  onerror: null = null;
  dead = false;
  constructor(
    private readonly answer: (ask: Ask) => unknown,
    private readonly gate: () => Promise<void>,
    private readonly log: Ask[],
  ) {}
  postMessage({ id, request }: Post) {
    const ask = JSON.parse(request) as Ask;
    this.log.push(ask);
    void this.gate().then(() => {
      if (this.dead) return;
      const reply = this.answer(ask);
      const data =
        reply instanceof Error
          ? { id, crashed: reply.message }
          : { id, answer: JSON.stringify({ reply }) };
      this.onmessage?.({ data });
    });
  }
  terminate() {
    this.dead = true;
  }
}

const looked = (text: string, faults = 0): Looked => ({
  faults: Array.from({ length: faults }, () => ({ line: 1, what: 'bad', text, field: -1 })),
  why: '',
  name: text,
  demo: false,
  values: [],
  sections: faults
    ? []
    : [{ name: 'Car', question: 'q', answer: `about ${text}`, blocks: [], working: [] }],
  bench: [],
});
const ranked = (text: string): Ranked => ({
  why: '',
  sections: [
    { name: 'Measure next', question: 'q', answer: `next for ${text}`, blocks: [], working: [] },
  ],
  axles: [],
});
const tried = (ask: Ask): Tried => ({
  axle: 'rear',
  sentence: JSON.stringify(ask.hole),
  stop: '',
  good: true,
  figures: { title: '', heads: [], units: [], rows: [], to_fill: false },
  plots: [],
  picks: [{ option: 'o', size_mm: 1, by_mm: [0, 0, 0] }],
  hole: [],
});

class Drawer implements Keeper {
  where = 'the drawer';
  kept: Kept = { text: 'a', stamp: '1', name: 'a.toml' };
  async load() {
    return this.kept;
  }
  async save(text: string, stamp: string | null): Promise<Saved> {
    if ((stamp ?? '0') !== this.kept.stamp) return { conflict: this.kept };
    this.kept = { ...this.kept, text, stamp: String(Number(this.kept.stamp) + 1) };
    return { stamp: this.kept.stamp };
  }
  async look() {
    return this.kept.stamp;
  }
}

function set(answer?: (ask: Ask) => unknown) {
  const log: Ask[] = [];
  let release: (() => void)[] | null = null;
  const gate = () =>
    new Promise<void>((resolve) => {
      if (release) release.push(resolve);
      else setTimeout(resolve, 0);
    });
  const say =
    answer ??
    ((ask: Ask) =>
      ask.kind === 'look'
        ? looked(ask.text, ask.text.startsWith('!') ? 2 : 0)
        : ask.kind === 'rank'
          ? ranked(ask.text)
          : ask.kind === 'try'
            ? tried(ask)
            : { text: `${ask.text}+${ask.kind}`, faults: [] });
  const start = () => new Core(say, gate, log);
  const drawer = new Drawer();
  const bench = new Workbench(new Engine(start), new Engine(start), drawer, drawer.kept, true);
  return {
    bench,
    drawer,
    log,
    hold: () => (release = []),
    letOne: () => release?.shift()?.(),
    let: () => {
      const all = release ?? [];
      release = null;
      all.forEach((go) => go());
    },
  };
}
const quiet = async (ms = 300) => new Promise((resolve) => setTimeout(resolve, ms));

describe('workbench', () => {
  it('works out a text: the look first, the ranking after it', async () => {
    const { bench, log } = set();
    await quiet();
    expect(log.map((a) => a.kind)).toEqual(['look', 'look', 'rank', 'look']);
    expect(bench.sections().map((s) => s.name)).toEqual(['Car', 'Measure next']);
    expect(bench.view.ranking).toBeNull();
  });

  it('keeps each edit, and marks what it changed', async () => {
    const { bench, drawer } = set();
    await quiet();
    bench.edit('b', 'to b');
    await quiet();
    expect(drawer.kept.text).toBe('b');
    expect(bench.view.keeping).toBe('kept');
    expect(bench.view.before['Car']?.answer).toBe('about a');
    expect(bench.sections()[0]!.answer).toBe('about b');
    bench.undo();
    await quiet();
    expect(drawer.kept.text).toBe('a');
    expect(bench.view.redoes).toBe('to b');
  });

  it('shows nothing about an older text', async () => {
    const s = set();
    await quiet();
    s.hold();
    s.bench.edit('b', 'to b');
    s.bench.edit('c', 'to c');
    s.let();
    await quiet();
    expect(s.bench.sections()[0]!.answer).toBe('about c');
    expect(s.bench.view.ranked?.sections[0]?.answer).toBe('next for c');
  });

  it('does not rank a broken file, and has its faults', async () => {
    const { bench, log } = set();
    await quiet();
    log.length = 0;
    bench.edit('!', 'broken');
    await quiet();
    expect(log.map((a) => a.kind)).toEqual(['look']);
    expect(bench.view.looked?.faults).toHaveLength(2);
    expect(bench.view.ranked).toBeNull();
  });

  it('drops what a hand has passed over, and ends with the last', async () => {
    const s = set();
    await quiet();
    s.log.length = 0;
    s.hold();
    for (let i = 0; i < 20; ++i) s.bench.try({ axle: 'rear', picks: [] }, 'o', '', [[i, i]], true);
    s.let();
    await quiet();
    expect(s.log.map((a) => JSON.stringify(a.hole))).toEqual(['[[0,0]]', '[[19,19]]']);
    expect(s.bench.triedOf('rear')?.sentence).toBe('[[19,19]]');
  });

  it('settles on what was tried last', async () => {
    const s = set();
    await quiet();
    s.hold();
    s.bench.try({ axle: 'rear', picks: [] }, 'o', '', [[1, 1]], true);
    s.bench.try({ axle: 'rear', picks: [] }, 'o', '', [[2, 2]]);
    const settled = s.bench.settle('rear');
    s.let();
    expect(await settled).toEqual([]);
    expect(s.bench.view.text).toBe('a+choose');
    const choose = s.log.find((a) => a.kind === 'choose');
    expect(choose?.set).toEqual({ axle: 'rear', picks: tried({ kind: 'try', text: '' }).picks });
  });

  it('tells of another writer and loses neither text', async () => {
    const { bench, drawer } = set();
    await quiet();
    drawer.kept = { text: 'theirs', stamp: '9', name: 'a.toml' };
    bench.edit('mine', 'to mine');
    await quiet();
    expect(bench.view.conflict?.text).toBe('theirs');
    expect(drawer.kept.text).toBe('theirs');
    await bench.settleConflict(true);
    await quiet();
    expect(drawer.kept.text).toBe('mine');
    bench.undo();
    expect(bench.view.text).toBe('theirs');
    bench.undo();
    expect(bench.view.text).toBe('mine');
  });

  it('does an edit anew where the text changed while it was worked out', async () => {
    const s = set();
    await quiet();
    s.hold();
    const changing = s.bench.change('p', '1');
    await quiet(10);
    s.drawer.kept = { text: 'theirs', stamp: '9', name: 'a.toml' };
    await s.bench.lookAtKept();
    expect(s.bench.view.text).toBe('theirs');
    s.let();
    await changing;
    await quiet();
    expect(s.bench.view.text).toBe('theirs+change');
    expect(s.drawer.kept.text).toBe('theirs+change');
  });

  it('is working as long as a change is asked for, whatever is answered meanwhile', async () => {
    const s = set((ask) =>
      ask.kind === 'look'
        ? looked(ask.text)
        : ask.kind === 'rank'
          ? ranked(ask.text)
          : ask.path === 'bad'
            ? { text: ask.text, faults: [{ line: 1, what: 'bad', text: '' }] }
            : { text: `${ask.text}+change`, faults: [] },
    );
    await quiet();
    s.hold();
    const refused = s.bench.change('bad', '1');
    const taken = s.bench.change('good', '1');
    await quiet(10);
    s.letOne();
    expect((await refused).length).toBe(1);
    expect(s.bench.view.looking).toBe(true);
    s.let();
    expect(await taken).toEqual([]);
    await quiet();
    expect(s.bench.view.text).toBe('a+change');
    expect(s.bench.view.looking).toBe(false);
  });

  it('says what is of an earlier text', async () => {
    const s = set();
    await quiet();
    expect([s.bench.view.lookedIsOld, s.bench.view.rankedIsOld]).toEqual([false, false]);
    s.bench.edit('b', 'to b');
    expect([s.bench.view.lookedIsOld, s.bench.view.rankedIsOld]).toEqual([true, true]);
    await quiet(100);
    expect([s.bench.view.lookedIsOld, s.bench.view.rankedIsOld]).toEqual([false, true]);
    s.bench.stop(); // before the ranking began
    await quiet();
    expect(s.bench.view.rankedIsOld).toBe(true);
    await s.bench.rank();
    expect(s.bench.view.rankedIsOld).toBe(false);
  });

  it('takes what another editor wrote where nothing of ours is in the way', async () => {
    const { bench, drawer } = set();
    await quiet();
    drawer.kept = { text: 'theirs', stamp: '9', name: 'a.toml' };
    await bench.lookAtKept();
    expect(bench.view.text).toBe('theirs');
    bench.undo();
    await quiet();
    expect(drawer.kept.text).toBe('a');
  });

  it('says that the text is not kept until it is, whatever the core answers', async () => {
    const { bench, drawer } = set();
    await quiet();
    const { save } = drawer;
    drawer.save = () => Promise.resolve({ failed: 'the disk is full' });
    bench.edit('b', 'to b');
    await quiet();
    expect([bench.view.unkept, bench.view.keeping]).toEqual([
      'Not kept: the disk is full.',
      'not kept',
    ]);
    drawer.save = save;
    bench.edit('c', 'to c');
    await quiet();
    expect([bench.view.unkept, bench.view.keeping]).toEqual(['', 'kept']);
  });

  it('tries again what could not be sent, one at a time, and says so until it is kept', async () => {
    const { bench, drawer } = set();
    await quiet();
    let asked = 0;
    let away = true;
    const save = drawer.save.bind(drawer);
    drawer.save = async (text, stamp) => {
      asked += 1;
      await quiet(20);
      return away ? { failed: 'nobody there', away: true } : save(text, stamp);
    };
    bench.edit('b', 'to b');
    await quiet(50);
    expect(bench.view.unkept).toBe('Not kept: nobody there.');
    expect(asked).toBe(1);
    await Promise.all([bench.lookAtKept(), bench.lookAtKept(), bench.lookAtKept()]);
    expect(asked).toBe(2);
    expect(bench.view.keeping).toBe('not kept');
    bench.edit('c', 'to c');
    await quiet(50);
    away = false;
    await bench.lookAtKept();
    expect(drawer.kept.text).toBe('c');
    expect(bench.view.unkept).toBe('');
    expect(bench.view.keeping).toBe('kept');
    await bench.lookAtKept();
    expect(asked).toBe(4);
  });

  it('has no other complaint beside a conflict', async () => {
    const { bench, drawer } = set();
    await quiet();
    const save = drawer.save.bind(drawer);
    drawer.save = async () => ({ failed: 'nobody there', away: true });
    bench.edit('b', 'to b');
    await quiet(50);
    drawer.save = save;
    drawer.kept = { text: 'theirs', stamp: '7', name: 'a.toml' };
    await bench.lookAtKept();
    expect(bench.view.conflict?.text).toBe('theirs');
    expect(bench.view.unkept).toBe('');
  });

  it('does not try again what was refused', async () => {
    const { bench, drawer } = set();
    await quiet();
    let asked = 0;
    drawer.save = async () => {
      asked += 1;
      return { failed: 'the disk is full' };
    };
    bench.edit('b', 'to b');
    await quiet(50);
    await bench.lookAtKept();
    expect(asked).toBe(1);
  });

  it('has every text remembered, in a conflict too, and forgotten once theirs is taken', async () => {
    const { bench, drawer } = set();
    await quiet();
    const held: string[] = [];
    Object.assign(drawer, {
      remember: (text: string, stamp: string) => held.push(`${text} from ${stamp}`),
      forget: () => held.push('forgotten'),
    });
    drawer.kept = { text: 'theirs', stamp: '7', name: 'a.toml' };
    bench.edit('mine', 'to mine');
    await quiet(50);
    bench.edit('mine too', 'to mine too');
    await quiet(50);
    expect(bench.view.conflict?.text).toBe('theirs');
    await bench.settleConflict(false);
    expect(held).toEqual(['mine from 1', 'mine too from 1', 'forgotten']);
  });

  it('goes on with what was not sent the last time, or meets what was written meanwhile', async () => {
    const same = set();
    same.bench.resume('unsent', '1');
    await quiet(50);
    expect(same.drawer.kept.text).toBe('unsent');
    expect(same.bench.view.undoes).toBe('what could not be sent the last time');
    const other = set();
    other.bench.resume('unsent', '0');
    await quiet(50);
    expect(other.drawer.kept.text).toBe('a');
    expect(other.bench.view.text).toBe('unsent');
    expect(other.bench.view.conflict?.text).toBe('a');
    await other.bench.settleConflict(true);
    expect(other.drawer.kept.text).toBe('unsent');
  });

  it('tells of a crash and goes on', async () => {
    let crash = true;
    const { bench } = set((ask) => {
      if (ask.kind === 'rank') return ranked(ask.text);
      if (crash) return new Error('out of memory');
      return looked(ask.text);
    });
    await quiet();
    expect(bench.view.trouble).toContain('started anew');
    crash = false;
    bench.edit('b', 'to b');
    await quiet();
    expect(bench.view.trouble).toBe('');
    expect(bench.sections()[0]!.answer).toBe('about b');
  });

  it('says what it refused until that is read, whatever the core answers meanwhile', async () => {
    const { bench } = set();
    bench.refuse('x.toml was not opened');
    await quiet();
    expect(bench.view.looked).not.toBeNull();
    expect(bench.view.rankedIsOld).toBe(false);
    expect(troublesOf(bench.view)).toEqual(['x.toml was not opened']);
    bench.quiet();
    expect(troublesOf(bench.view)).toEqual([]);
    bench.refuse('y.toml was not opened');
    bench.edit('b', 'to b');
    expect(troublesOf(bench.view)).toEqual([]);
  });

  it('stops the ranking by hand, and works it out after all', async () => {
    const s = set();
    await quiet();
    s.hold();
    void s.bench.rank();
    await quiet(10);
    s.bench.stop();
    s.let();
    await quiet();
    expect(s.bench.view.stopped).toBe(true);
    expect(s.bench.view.ranking).toBeNull();
    await s.bench.rank();
    expect(s.bench.view.ranked?.sections[0]?.answer).toBe('next for a');
  });
});

describe('a hand that is quicker than the core', () => {
  it('has every step counted', async () => {
    const picksOf = (n: number) => [{ option: 'o', size_mm: n, by_mm: [0, 0, 0] }];
    const s = set((ask) =>
      ask.kind === 'look'
        ? looked(ask.text)
        : ask.kind === 'rank'
          ? ranked(ask.text)
          : ask.kind === 'try'
            ? { ...tried(ask), axle: 'front', picks: (ask.set as { picks: unknown }).picks }
            : {
                text: `chosen ${JSON.stringify((ask.set as { picks: unknown }).picks)}`,
                faults: [],
              },
    );
    await quiet();
    const held = () => s.bench.view.asked['front'] ?? s.bench.triedOf('front')?.picks ?? picksOf(0);
    for (let i = 0; i < 20; ++i) {
      void s.bench.pick({ axle: 'front', picks: picksOf(held()[0]!.size_mm + 1) });
      await quiet(i % 4);
    }
    await quiet(500);
    expect(s.bench.view.text).toBe(`chosen ${JSON.stringify(picksOf(20))}`);
    expect(s.bench.view.asked).toEqual({});
  });
});

describe('a ranking that is stopped before it began', () => {
  it('does not begin', async () => {
    const s = set();
    await quiet();
    s.log.length = 0;
    s.bench.edit('b', 'to b');
    s.bench.stop();
    await quiet(400);
    expect(s.log.map((a) => a.kind)).toEqual(['look', 'look']);
    expect([s.bench.view.ranking, s.bench.view.stopped]).toEqual([null, true]);
    await s.bench.rank();
    expect(s.bench.view.ranked?.sections[0]?.answer).toBe('next for b');
  });
});
