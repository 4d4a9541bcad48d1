import { describe, expect, it } from 'vitest';
import type { AxleSet, Kind } from '../../src/model/contract';
import { Engine, type Came, type Post, type Working } from '../../src/model/engine';
import type { Keeper, Kept, Saved } from '../../src/model/keeper';
import { SurveyDesk } from '../../src/model/survey';
import { Workbench } from '../../src/model/workbench';

// A car whose file is a line for each reading: "FL1 -0.9", "gauge a front left: 0, 0, 0". Its round
// has a card of one field, one of three that are all wanted, and one of three that may be left out.
const length = (key: string, needed = true) => ({ key, label: key, quantity: 'length', needed });
const fieldsOf: Record<string, ReturnType<typeof length>[]> = {
  B1: [length('value')],
  FL1: [{ ...length('value'), quantity: 'angle' }],
  FL2: [length('front edge'), length('rear edge'), length('across')],
  FL3: [length('back', false), length('out', false), length('inboard', false)],
  X: [length('value')],
};
const stations = [
  { name: 'Before', numbers: ['B1'] },
  { name: 'Front left', numbers: ['FL1', 'FL2', 'FL3'] },
];

interface Ask {
  kind: Kind;
  text: string;
  inch: boolean;
  known: boolean;
  number: string;
  reading: string;
  from: string;
  to: string;
  values: string[];
  sigma: string;
  sure: boolean;
  name: string;
  aside: boolean;
  corner: string;
  base: string;
  drop: string;
  travel: string;
  front: string;
  rear: string;
  low: string;
  with_parts: boolean;
  sets: AxleSet[];
  fresh: boolean;
  when: string;
  fitted: boolean;
  driven: boolean;
}
// Readings on the floor are lines with their day: "day as found A1 3".
const daysOf = (text: string) => [
  ...new Set([...text.matchAll(/^day ([\w ]+) A\d /gm)].map((m) => m[1]!)),
];
const rowsOf = (text: string, of: string) =>
  text.split('\n').filter((l) => l.startsWith(`${of} `) || l.startsWith(`aside ${of} `));
const gauged = (text: string, name: string) =>
  rowsOf(text, `gauge ${name}`).map((l) => (l.split(': ')[1] ?? '').split(', '));

function answer(ask: Ask): unknown {
  const { text, number } = ask;
  switch (ask.kind) {
    case 'look':
      return { faults: [], why: '', name: '', demo: false, values: [], sections: [], bench: [] };
    case 'rank':
      return { why: '', sections: [], axles: [] };
    case 'show_round':
      return {
        why: '',
        stations: stations.map(({ name, numbers }) => ({
          name,
          intro: '',
          caution: '',
          cards: numbers.map((n) => ({
            number: n,
            what: n,
            taken: rowsOf(text, n).length,
            doubted: false,
          })),
        })),
        runs: [],
        corners: ['front left'],
        joints: [],
        known: ask.known
          ? [{ axle: 'front', sentence: `of ${text}`, next: '', card: '', gauge: '' }]
          : [],
        misread: [],
      };
    case 'show_card': {
      const free = number === '' ? (ask.from === ask.to ? '' : 'X') : number;
      const fields = fieldsOf[free];
      if (!fields) return { why: 'no such card', fields: [], taken: [] };
      return {
        why: '',
        number: free,
        station: stations.find((st) => st.numbers.includes(free))?.name ?? '',
        caution: '',
        what: free,
        how: '',
        care: '',
        drawing: { svg: '', text: '' },
        fields,
        sigma: '1 mm',
        taken: rowsOf(text, free).map((shown) => ({
          name: free,
          shown,
          doubt: '',
          set_aside: shown.startsWith('aside'),
          removable: true,
        })),
      };
    }
    case 'enter_card': {
      const fields = fieldsOf[number || 'X']!;
      const lacking = fields.findIndex((f, i) => f.needed && ask.values[i] === '');
      const lacks = fields[lacking];
      const bad = ask.values.findIndex((v) => v === 'bad');
      const what = lacks
        ? `${lacks.label}: nothing was entered`
        : bad >= 0
          ? `${fields[bad]!.label}: no number`
          : '';
      const field = lacks ? lacking : bad;
      if (what) return { text, faults: [{ line: 0, what, text: '', field }], asks: [] };
      if (ask.values.includes('999') && !ask.sure)
        return { text, faults: [], asks: ['999 was entered.'] };
      const row = [number || `X ${ask.reading} ${ask.from} ${ask.to}`, ...ask.values, ask.sigma];
      return { text: `${text}\n${row.join(' ').trimEnd()}`, faults: [], asks: [] };
    }
    case 'show_floor_round':
      return {
        why: '',
        stations: [
          {
            name: 'Front left',
            intro: '',
            caution: '',
            cards: ['A1', 'A2'].map((n) => ({
              number: n,
              what: n,
              taken: rowsOf(text, `day ${ask.when} ${n}`).length,
              doubted: false,
            })),
          },
        ],
        days: daysOf(text).map((when) => ({ when, fitted: when !== 'as found', driven: false })),
      };
    case 'show_floor_card':
      return {
        why: '',
        number,
        station: 'Front left',
        caution: '',
        what: number,
        how: '',
        care: '',
        drawing: { svg: '', text: '' },
        fields: [length('value')],
        sigma: '',
        taken: [],
      };
    case 'enter_floor_card':
      return {
        text: `${text}\nday ${ask.when} ${number} ${ask.values.join(' ')}`,
        faults: [],
        asks: [],
      };
    case 'set_aside': {
      const from = ask.aside ? `\n${ask.name} ` : `\naside ${ask.name} `;
      const to = ask.aside ? `\naside ${ask.name} ` : `\n${ask.name} `;
      return { text: text.replace(from, to), faults: [] };
    }
    case 'show_gauge': {
      const names = [...text.matchAll(/gauge (\w) front left/g)].map((m) => m[1]!);
      const name = ask.fresh ? '' : ask.name || (names.at(-1) ?? '');
      if (ask.with_parts && ask.corner === 'front right')
        return { why: 'no parts', name: '', rows: [], next_mm: '' };
      if (ask.corner !== 'front left' && !name)
        return { why: 'no such corner', name: '', rows: [], next_mm: '' };
      const rows = gauged(text, name);
      const next = [0, 10, 20][rows.length];
      return {
        why: '',
        name,
        fitted: ask.with_parts ? 'parts' : '',
        sentence: `${rows.length} rows`,
        care: '',
        caution: '',
        next_mm: next === undefined ? '' : String(next),
        third_dial: false,
        rows,
      };
    }
    case 'enter_gauge': {
      if (ask.front === '')
        return { text, faults: [{ line: 0, what: 'front dial: nothing', text: '' }] };
      const name = ask.name || (text.includes('gauge a') ? 'b' : 'a');
      const row = [ask.travel, ask.front, ask.rear].join(', ');
      return { text: `${text}\ngauge ${name} front left: ${row}`, faults: [] };
    }
    default:
      throw new Error(ask.kind);
  }
}

// Answers a moment later; `hold` keeps answers of a kind back.
class Core implements Working {
  onmessage: ((event: { data: Came }) => void) | null = null;
  onerror: null = null;
  dead = false;
  constructor(
    private readonly gate: (kind: Kind) => Promise<void>,
    private readonly log: Ask[],
  ) {}
  postMessage({ id, request }: Post) {
    const ask = JSON.parse(request) as Ask;
    this.log.push(ask);
    void this.gate(ask.kind).then(() => {
      if (!this.dead)
        this.onmessage?.({ data: { id, answer: JSON.stringify({ reply: answer(ask) }) } });
    });
  }
  terminate() {
    this.dead = true;
  }
}
class Drawer implements Keeper {
  where = 'the drawer';
  kept: Kept = { text: 'car', stamp: '1', name: 'a.toml' };
  async load() {
    return this.kept;
  }
  async save(text: string): Promise<Saved> {
    this.kept = { ...this.kept, text, stamp: String(Number(this.kept.stamp) + 1) };
    return { stamp: this.kept.stamp };
  }
  async look() {
    return this.kept.stamp;
  }
}

const quiet = async (ms = 30) => new Promise((resolve) => setTimeout(resolve, ms));

// A workbench that has worked everything out, with the cards on it.
async function set({ inch = false, open = true, floor = false } = {}) {
  const log: Ask[] = [];
  let held: Kind | null = null;
  let waiting: (() => void)[] = [];
  const gate = (kind: Kind) =>
    new Promise<void>((resolve) => {
      if (kind === held) waiting.push(resolve);
      else setTimeout(resolve, 0);
    });
  const start = () => new Core(gate, log);
  const drawer = new Drawer();
  const bench = new Workbench(
    new Engine(start),
    new Engine(start),
    drawer,
    drawer.kept,
    true,
    inch,
  );
  const desk = new SurveyDesk(bench, 5, floor);
  if (open) {
    await quiet(60);
    await desk.open();
    await quiet();
    log.length = 0;
  }
  const kinds = () => log.map((a) => a.kind);
  return {
    bench,
    desk,
    drawer,
    log,
    kinds,
    at: () => (desk.view.at === 'card' ? desk.view.card!.number : desk.view.at),
    rows: () => bench.view.text.split('\n').slice(1),
    keys: (keys: string) => [...keys].forEach((k) => desk.press(k)),
    hold: (kind: Kind) => (held = kind),
    let: () => {
      held = null;
      const all = waiting;
      waiting = [];
      all.forEach((go) => go());
    },
  };
}

describe('a card', () => {
  it('is taken, and the next one that holds nothing follows', async () => {
    const s = await set();
    s.bench.edit('car\nFL1 3', 'read before');
    await s.desk.list();
    await s.desk.take('B1');
    s.keys('600');
    await s.desk.enter();
    expect(s.rows()).toEqual(['FL1 3', 'B1 600']);
    expect(s.at()).toBe('FL2');
    expect(s.desk.view.values).toEqual(['', '', '']);
    expect(s.desk.view.said).toBe('B1 600 entered');
    await quiet();
    expect(s.drawer.kept.text).toBe('car\nFL1 3\nB1 600');
  });

  it('goes from field to field, and is entered behind the last one', async () => {
    const s = await set();
    await s.desk.take('FL2');
    for (const [field, value] of ['10', '11', '380'].entries()) {
      expect(s.desk.view.field).toBe(field);
      expect(s.rows()).toEqual([]);
      s.keys(value);
      await s.desk.enter();
    }
    expect(s.rows()).toEqual(['FL2 10 11 380']);
  });

  it('offers a field that may be left out once', async () => {
    const s = await set();
    await s.desk.take('FL3');
    s.keys('597');
    await s.desk.enter();
    s.keys('649');
    await s.desk.enter();
    expect([s.desk.view.field, s.rows()]).toEqual([2, []]);
    await s.desk.enter();
    expect(s.rows()).toEqual(['FL3 597 649']);
    // Left with a key pressed on the first field again: it was offered already.
    await s.desk.take('FL3');
    s.keys('597');
    await s.desk.enter();
    s.desk.focus(0);
    s.keys('.5');
    await s.desk.enter();
    expect(s.rows()[1]).toBe('FL3 597.5');
  });

  it('has each value in the unit it was typed in, and its own ±', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.desk.setUnit('length', 'in');
    s.keys('23 5/8');
    s.desk.setSigma('1/16');
    await s.desk.enter();
    expect(s.rows()).toEqual(['B1 23 5/8 in 1/16 in']);
    // The unit stays for the cards after it, the ± does not.
    expect(s.desk.view.units).toEqual({ length: 'in', angle: '°' });
    expect([s.at(), s.desk.view.sigma]).toEqual(['FL1', '']);
    s.desk.setUnit('angle', "°'");
    s.keys('-5°30');
    await s.desk.enter();
    expect(s.rows()[1]).toBe("FL1 -5°30'");
  });

  it('begins in inches where the sheet is in inches', async () => {
    const s = await set({ inch: true });
    expect(s.desk.view.units.length).toBe('in');
  });

  it('stays for a repeat, and keeps its ±', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.desk.setSigma('2');
    s.keys('600');
    await s.desk.enter(true);
    expect([s.at(), s.desk.view.values, s.desk.view.sigma]).toEqual(['B1', [''], '2']);
    expect(s.desk.view.card!.taken).toHaveLength(1);
    s.keys('601');
    await s.desk.enter();
    expect(s.rows()).toEqual(['B1 600 2', 'B1 601 2']);
    expect(s.at()).toBe('FL1');
  });

  it('is skipped, and is not come back to on the way round', async () => {
    const s = await set();
    await s.desk.take('B1');
    await s.desk.skip();
    expect(s.at()).toBe('FL1');
    await s.desk.skip();
    await s.desk.back();
    expect(s.at()).toBe('FL1');
    await s.desk.back();
    s.keys('600');
    await s.desk.enter();
    expect(s.at()).toBe('FL2'); // FL1 was skipped
    await s.desk.skip();
    await s.desk.skip();
    expect(s.at()).toBe('round'); // behind the last one
    expect(s.rows()).toEqual(['B1 600']);
    await s.desk.take('B1');
    await s.desk.back();
    expect(s.at()).toBe('round');
  });

  it('keeps what was typed where it is at fault, and has the hand at that field', async () => {
    const s = await set();
    await s.desk.take('FL2');
    s.desk.type(0, '10');
    s.desk.type(1, 'bad');
    s.desk.type(2, '380');
    await s.desk.enter();
    expect(s.desk.view.faults).toEqual(['rear edge: no number']);
    expect(s.desk.view.values).toEqual(['10', 'bad', '380']);
    expect(s.desk.view.field).toBe(1);
    expect(s.rows()).toEqual([]);
    s.desk.press('clear');
    expect(s.desk.view.faults).toEqual([]);
    s.keys('11');
    await s.desk.enter();
    expect(s.rows()).toEqual(['FL2 10 11 380']);
  });

  it('says that nothing was entered', async () => {
    const s = await set();
    await s.desk.take('FL2');
    await s.desk.enter();
    expect(s.desk.view.faults).toEqual(['front edge: nothing was entered']);
    expect(s.at()).toBe('FL2');
  });

  it('that is not there leaves the hand where it was, and says so', async () => {
    const s = await set();
    await s.desk.take('Z9');
    expect([s.at(), s.desk.view.faults]).toEqual(['round', ['no such card']]);
  });
});

describe('a surprising value', () => {
  it('is asked about once, and entered again it is kept', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('999');
    await s.desk.enter();
    expect(s.desk.view.asks).toEqual(['999 was entered.']);
    expect([s.at(), s.desk.view.values, s.rows()]).toEqual(['B1', ['999'], []]);
    s.log.length = 0;
    await s.desk.enter();
    expect(s.log.find((a) => a.kind === 'enter_card')!.sure).toBe(true);
    expect(s.rows()).toEqual(['B1 999']);
    // The next card knows nothing of it.
    expect([s.at(), s.desk.view.asks]).toEqual(['FL1', []]);
  });

  it('is asked about anew once anything is changed', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('999');
    await s.desk.enter();
    s.desk.press('back');
    expect(s.desk.view.asks).toEqual([]);
    s.keys('9');
    await s.desk.enter();
    expect(s.desk.view.asks).toHaveLength(1);
    s.desk.setSigma('3');
    await s.desk.enter();
    expect(s.log.filter((a) => a.kind === 'enter_card').map((a) => a.sure)).toEqual([
      false,
      false,
      false,
    ]);
    expect(s.rows()).toEqual([]);
  });

  it('is asked about anew where it is in another unit', async () => {
    const s = await set();
    await s.desk.take('FL3');
    s.desk.type(0, '999');
    await s.desk.enter();
    await s.desk.enter();
    await s.desk.enter();
    expect(s.rows()).toEqual(['FL3 999']);
    await s.desk.undo();
    await s.desk.take('B1');
    s.keys('999');
    await s.desk.enter();
    expect(s.desk.view.asks).toHaveLength(1);
    s.desk.setUnit('length', 'thou');
    expect(s.desk.view.asks).toEqual([]);
    await s.desk.enter();
    expect(s.log.filter((a) => a.kind === 'enter_card').at(-1)).toMatchObject({
      sure: false,
      values: ['999 thou'],
    });
  });
});

describe('what stands already', () => {
  it('is set aside and taken in again', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('600');
    await s.desk.enter(true);
    await s.desk.setAside('B1', true);
    expect(s.rows()).toEqual(['aside B1 600']);
    expect(s.desk.view.card!.taken[0]!.set_aside).toBe(true);
    expect(s.desk.view.last).toEqual([{ number: 'B1', value: '600' }]);
    await s.desk.setAside('B1', false);
    expect(s.rows()).toEqual(['B1 600']);
    expect(s.desk.view.card!.taken[0]!.set_aside).toBe(false);
  });

  it('is told of three entries back, and undone one by one', async () => {
    const s = await set();
    await s.desk.take('B1');
    for (const value of ['600', '601', '602', '603']) {
      s.keys(value);
      await s.desk.enter(true);
    }
    const last = () => s.desk.view.last.map((l) => l.value);
    expect(last()).toEqual(['603', '602', '601']);
    await s.desk.undo();
    expect(last()).toEqual(['602', '601']);
    expect(s.rows()).toEqual(['B1 600', 'B1 601', 'B1 602']);
    // What was no entry takes none off.
    await s.desk.setAside('B1', true);
    await s.desk.undo();
    expect(last()).toEqual(['602', '601']);
    for (let i = 0; i < 5; ++i) await s.desk.undo();
    expect([last(), s.rows()]).toEqual([[], []]);
    expect(s.desk.view.card!.taken).toEqual([]);
    expect(s.at()).toBe('B1');
  });

  it('is shown again where its reading was undone, to be typed anew', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('600');
    await s.desk.enter();
    expect(s.at()).toBe('FL1');
    expect(s.desk.view.station).toBe('Front left'); // it lies open in the list
    await s.desk.undo();
    expect([s.at(), s.rows()]).toEqual(['B1', []]);
  });

  it('goes on where nothing is read or skipped, and then with what was skipped', async () => {
    const s = await set();
    expect(s.desk.goesOn()).toBe('B1');
    await s.desk.take('B1');
    await s.desk.skip();
    await s.desk.list();
    expect(s.desk.goesOn()).toBe('FL1');
    await s.desk.take('FL1');
    await s.desk.skip();
    await s.desk.skip();
    await s.desk.skip();
    expect([s.desk.view.at, s.desk.goesOn()]).toEqual(['round', 'B1']);
  });

  it('is read again at once, its optional fields left as they are', async () => {
    const s = await set();
    await s.desk.take('FL3');
    s.keys('597');
    await s.desk.enter(true);
    expect([s.at(), s.rows()]).toEqual(['FL3', ['FL3 597']]);
  });

  it('is not written over by an entry that was under way when it was undone', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('600');
    await s.desk.enter(true);
    s.keys('601');
    s.hold('enter_card');
    const entering = s.desk.enter(true);
    await quiet(10);
    s.bench.undo(); // by the keys of the sheet, or another editor's text
    s.let();
    await entering;
    expect(s.rows()).toEqual(['B1 601']);
  });
});

describe('a quick hand', () => {
  it('loses nothing that it types while the card is being entered', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('600');
    s.hold('enter_card');
    const entering = s.desk.enter();
    s.keys('-0.9');
    expect(s.desk.view.values).toEqual(['600']);
    s.let();
    await entering;
    expect([s.at(), s.desk.view.values]).toEqual(['FL1', ['-0.9']]);
    expect(s.rows()).toEqual(['B1 600']);
  });

  it('enters a card once', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('600');
    await Promise.all([s.desk.enter(), s.desk.enter(), s.desk.enter(true)]);
    expect(s.rows()).toEqual(['B1 600']);
  });

  it('has nothing of it put on a card that was asked about', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('999');
    s.hold('enter_card');
    const entering = s.desk.enter();
    s.keys('12');
    s.let();
    await entering;
    expect([s.at(), s.desk.view.values, s.desk.view.asks.length]).toEqual(['B1', ['999'], 1]);
  });
});

describe('a card that the round does not have', () => {
  it('is made, entered and left for the list', async () => {
    const s = await set();
    const free = { reading: 'distance', from: 'p', to: 'q' };
    await s.desk.take('', free);
    expect([s.at(), s.desk.view.free]).toEqual(['X', free]);
    s.keys('374');
    await s.desk.enter(true);
    expect([s.at(), s.desk.view.free]).toEqual(['X', free]);
    s.keys('375');
    await s.desk.enter();
    expect(s.rows()).toEqual(['X distance p q 374', 'X distance p q 375']);
    expect(s.at()).toBe('round');
    await s.desk.take('FL1');
    expect(s.desk.view.free).toBeNull();
  });

  it('needs two joints', async () => {
    const s = await set();
    await s.desk.take('', { reading: 'distance', from: 'p', to: 'p' });
    expect([s.at(), s.desk.view.faults]).toEqual(['round', ['no such card']]);
  });
});

describe('a day on the floor', () => {
  it('begins as found, its cards follow each other, and nothing else is worked out', async () => {
    const s = await set({ floor: true });
    expect(s.desk.view.floor!.when).toBe('as found');
    await s.desk.take('A1');
    s.keys('3');
    await s.desk.enter();
    expect(s.at()).toBe('A2');
    expect(s.rows()).toEqual(['day as found A1 3']);
    await quiet();
    expect(s.kinds()).not.toContain('show_round');
    await s.desk.list();
    expect(s.desk.view.round!.stations[0]!.cards.map((c) => c.taken)).toEqual([1, 0]);
  });

  it('is another one once it is named, and the last one of the file goes on', async () => {
    const s = await set({ floor: true });
    s.bench.edit('car\nday as found A1 3\nday parts in A1 4', 'read before');
    await s.desk.list();
    // The hand has named none: the first reading began as found, and stays there.
    expect(s.desk.view.floor!.when).toBe('as found');
    await s.desk.setDay({ when: ' after turning ', fitted: true, driven: false });
    expect(s.desk.view.floor!.when).toBe('after turning');
    expect(s.desk.view.round!.stations[0]!.cards.map((c) => c.taken)).toEqual([0, 0]);
    await s.desk.take('A2');
    s.keys('5');
    await s.desk.enter();
    expect(s.rows().at(-1)).toBe('day after turning A2 5');
    expect(s.log.find((a) => a.kind === 'enter_floor_card')!.fitted).toBe(true);
    await s.desk.setDay({ when: '  ', fitted: true, driven: false });
    expect(s.desk.view.floor!.when).toBe('after turning');
  });
});

describe('the workbench under the cards', () => {
  it('rests: entries are kept, and nothing is worked out of them until they are put away', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.keys('600');
    await s.desk.enter();
    s.keys('-0.9');
    await s.desk.enter();
    await quiet(300);
    expect(s.kinds()).not.toContain('look');
    expect(s.kinds()).not.toContain('rank');
    expect(s.drawer.kept.text).toBe('car\nB1 600\nFL1 -0.9');
    // What is known by now is about the newest text.
    expect(s.desk.view.round!.known[0]!.sentence).toBe(`of ${s.bench.view.text}`);
    s.log.length = 0;
    s.desk.close();
    await quiet(300);
    expect(s.kinds()).toEqual(['look', 'look', 'rank']);
    expect(s.log.every((a) => a.text === s.bench.view.text)).toBe(true);
  });

  it('works out nothing where nothing was entered', async () => {
    const s = await set();
    await s.desk.take('B1');
    s.desk.close();
    await quiet(300);
    expect(s.kinds()).toEqual(['show_card']);
    expect(s.desk.view.at).toBe('closed');
  });

  it('goes on with a ranking that the cards stopped', async () => {
    const s = await set({ open: false });
    s.hold('rank');
    await quiet(60);
    expect(s.kinds().at(-2)).toBe('look');
    expect(s.bench.view.ranking).toBe(0);
    await s.desk.open();
    s.let();
    await quiet(60);
    expect(s.bench.view.rankedIsOld).toBe(true);
    s.log.length = 0;
    s.desk.close();
    await quiet(300);
    expect(s.kinds()).toContain('rank');
    expect(s.bench.view.rankedIsOld).toBe(false);
  });

  it('begins no ranking where the cards are opened before it', async () => {
    const s = await set({ open: false });
    await s.desk.open(); // the first look is still under way
    await quiet(400);
    expect(s.kinds()).not.toContain('rank');
    s.desk.close();
    await quiet(400);
    expect(s.kinds()).toContain('rank');
    expect(s.bench.view.ranking).toBeNull();
    expect(s.bench.view.rankedIsOld).toBe(false);
  });
});

describe('a gauge run', () => {
  const row = async (s: Awaited<ReturnType<typeof set>>, front: string, rear: string) => {
    s.desk.dial('front', front);
    s.desk.dial('rear', rear);
    await s.desk.enterRow();
  };

  it('has the next travel filled in, and goes on by its name', async () => {
    const s = await set();
    await s.desk.run('front left');
    expect([s.at(), s.desk.view.dials.travel]).toEqual(['gauge', '0']);
    await row(s, '0.01', '-0.01');
    expect(s.desk.view.gauge).toMatchObject({ name: 'a', next_mm: '10' });
    expect(s.desk.view.dials).toEqual({ travel: '10', front: '', rear: '', low: '' });
    await row(s, '-0.44', '-1.03');
    const asked = s.log.filter((a) => a.kind === 'enter_gauge');
    expect(asked.map((a) => [a.name, a.base, a.travel])).toEqual([
      ['', '300', '0'],
      ['a', '300', '10'],
    ]);
    expect(s.desk.view.dials.travel).toBe('20');
    await s.desk.undo();
    expect(s.desk.view.gauge!.rows).toHaveLength(1);
    expect(s.desk.view.dials.travel).toBe('10');
    // Left and come back to: it goes on.
    await s.desk.list();
    await s.desk.run('front left');
    expect(s.desk.view.gauge).toMatchObject({ name: 'a', next_mm: '10' });
  });

  it('is begun a second time beside the first', async () => {
    const s = await set();
    await s.desk.run('front left');
    await row(s, '0', '0');
    await s.desk.anotherRun();
    expect(s.desk.view.gauge!.rows).toEqual([]);
    expect(s.desk.view.dials.travel).toBe('0');
    await row(s, '1', '1');
    expect(s.rows()).toEqual(['gauge a front left: 0, 0, 0', 'gauge b front left: 0, 1, 1']);
    expect(s.desk.view.gauge!.name).toBe('b');
  });

  it('keeps what was typed where it is at fault', async () => {
    const s = await set();
    await s.desk.run('front left');
    await row(s, '', '2');
    expect(s.desk.view.faults).toEqual(['front dial: nothing']);
    expect(s.desk.view.dials).toMatchObject({ travel: '0', rear: '2' });
    expect(s.rows()).toEqual([]);
  });

  it('is in inches, and its dials in thousandths, where the sheet is', async () => {
    const s = await set({ inch: true });
    await s.desk.run('front left');
    expect(s.desk.view.base).toBe('12');
    s.desk.setRun({ drop: '6' });
    s.desk.dial('travel', '1/2');
    s.desk.dial('low', '3');
    await row(s, '-17', '-40');
    expect(s.log.find((a) => a.kind === 'enter_gauge')).toMatchObject({
      base: '12 in',
      drop: '6 in',
      travel: '1/2 in',
      front: '-17 thou',
      rear: '-40 thou',
      low: '3 thou',
    });
  });

  it('is not entered twice by a double tap', async () => {
    const s = await set();
    await s.desk.run('front left');
    s.desk.dial('front', '0');
    s.desk.dial('rear', '0');
    await Promise.all([s.desk.enterRow(), s.desk.enterRow()]);
    expect(s.rows()).toHaveLength(1);
  });

  it('with the parts fitted stays one, and sends the set that is shown', async () => {
    const s = await set();
    await s.desk.run('front left', '', true);
    expect(s.desk.view).toMatchObject({ withParts: true, gauge: { fitted: 'parts' } });
    await row(s, '0', '0');
    expect(s.log.find((a) => a.kind === 'enter_gauge')).toMatchObject({
      with_parts: true,
      sets: [],
    });
    expect(s.desk.view.withParts).toBe(true);
    await s.desk.undo();
    await s.desk.anotherRun();
    expect(s.log.at(-1)).toMatchObject({ kind: 'show_gauge', with_parts: true, fresh: true });
    // Where nothing says what is fitted, it is not begun.
    await s.desk.list();
    await s.desk.run('front right', '', true);
    expect([s.at(), s.desk.view.faults]).toEqual(['round', ['no parts']]);
    await s.desk.run('front left');
    expect(s.desk.view.withParts).toBe(false);
  });

  it('of no corner is not begun', async () => {
    const s = await set();
    await s.desk.run('middle');
    expect([s.at(), s.desk.view.faults]).toEqual(['round', ['no such corner']]);
  });
});
