// All that the page knows, in one place and without a framework: the text, what the core made of
// it, and what is being worked out. Everything shown hangs on the text.
import type {
  AxleSet,
  Changed,
  Contract,
  DrawnScene,
  FaultSeen,
  Kind,
  JointTable,
  Looked,
  PageSection,
  Pick,
  Ranked,
  RankedAxle,
  Tried,
  Step,
} from './contract';
import { Crashed, Failed, Stopped, type Engine } from './engine';
import { History } from './history';
import type { Keeper, Kept } from './keeper';
import { Keeping, type KeepingView } from './keeping';

export type Standing = 'stands' | 'working' | 'waits' | 'stopped';

export interface View extends KeepingView {
  text: string;
  inch: boolean;
  looked: Looked | null; // of the text, or of an earlier one while `looking`
  ranked: Ranked | null;
  tried: Record<string, Tried>; // by axle: the set in hand, where it is not the one in `looked`
  asked: Record<string, Pick[]>; // by axle: picked by hand and not worked out yet
  before: Record<string, PageSection>; // by name: the sections as they were before the last edit
  looking: boolean;
  ranking: number | null; // share done; null: nothing runs
  lookedIsOld: boolean; // what `looked` says is of an earlier text or in other units
  rankedIsOld: boolean; // the same of `ranked`
  stopped: boolean; // the ranking was stopped by hand
  undoes: string | null;
  redoes: string | null;
  said: string; // what happened last, for those who cannot see it
  trouble: string; // what went wrong and is not the file's fault; empty where nothing did
  refused: string; // what was asked for by hand and not done; it stands until read or edited past
}

const rankAfter = 200; // ms without a further edit

export class Workbench {
  view: View;
  private readonly history: History;
  private readonly listeners = new Set<(view: View) => void>();
  private readonly keeping: Keeping;
  private trying: Record<string, Contract['try']['ask'] | 'busy'> = {};
  private whenTried: Record<string, (mine: boolean) => void> = {};
  private lastTried: Record<string, Tried> = {}; // by axle, of whatever text
  private picking: Record<string, number> = {}; // by axle: picks under way
  private changing: Promise<unknown> = Promise.resolve();
  private pending = 0; // changes that are asked for and not made
  private rankTimer: ReturnType<typeof setTimeout> | undefined;
  private resting = false;
  private owing = false; // something was edited meanwhile
  private turn = 0; // counts texts: an answer about an older one is not shown

  constructor(
    private readonly quick: Engine,
    private readonly slow: Engine,
    keeper: Keeper,
    first: Kept,
    stored: boolean,
    inch = false,
  ) {
    this.history = new History(first.text);
    this.keeping = new Keeping(
      keeper,
      stored ? first.stamp : null,
      (change) => this.show(change),
      (kept, what) => this.adopt(kept, what),
    );
    this.view = {
      text: first.text,
      inch,
      looked: null,
      ranked: null,
      tried: {},
      asked: {},
      before: {},
      looking: false,
      ranking: null,
      lookedIsOld: false,
      rankedIsOld: false,
      stopped: false,
      undoes: null,
      redoes: null,
      said: '',
      trouble: '',
      refused: '',
      ...this.keeping.view,
    };
    void this.workOut();
  }

  // A store as the framework knows it.
  subscribe(listener: (view: View) => void): () => void {
    this.listeners.add(listener);
    listener(this.view);
    return () => this.listeners.delete(listener);
  }

  private show(change: Partial<View>): void {
    this.view = { ...this.view, ...change };
    // An answer about the text as it is does not end the wait for the change of it.
    if (this.pending > 0) this.view.looking = true;
    for (const listener of this.listeners) listener(this.view);
  }

  // ------------------------------------------------------------------------------------- edits

  // A whole new text.
  edit(text: string, what: string): void {
    if (!this.history.edit(text, what)) return;
    this.afterEdit(what);
  }

  undo(): void {
    const what = this.history.undoes;
    if (this.history.undo()) this.afterEdit(`undone: ${what}`);
  }

  redo(): void {
    const what = this.history.redoes;
    if (this.history.redo()) this.afterEdit(`done again: ${what}`);
  }

  private afterEdit(what: string): void {
    this.keeping.keep(this.history.text);
    this.newText(what);
  }

  private newText(what: string): void {
    this.turn += 1;
    this.show({
      text: this.history.text,
      undoes: this.history.undoes,
      redoes: this.history.redoes,
      said: what,
      refused: '',
      before: Object.fromEntries(this.sections().map((s) => [s.name, s])),
    });
    this.workOutUnlessResting();
  }

  // While it rests, edits are kept and nothing is worked out of them.
  rest(resting: boolean): void {
    this.resting = resting;
    if (resting) {
      this.owing ||= this.view.ranking !== null;
      clearTimeout(this.rankTimer);
      this.slow.stop();
      return;
    }
    if (!this.owing) return;
    this.owing = false;
    void this.workOut(); // which stops what the slow one still does
  }

  private workOutUnlessResting(): void {
    if (this.resting) this.owing = true;
    else void this.workOut();
  }

  // A question that changes nothing here; null where there is no answer, which the view then tells.
  // `slow`: by the worker that ranks, which has nothing else to do while this rests.
  async ask<K extends Kind>(
    kind: K,
    ask: Contract[K]['ask'],
    slow = false,
  ): Promise<Contract[K]['reply'] | null> {
    try {
      return await (slow ? this.slow : this.quick).ask(kind, ask);
    } catch (error) {
      this.tell(error);
      return null;
    }
  }

  // One value as typed: the faults that it would have brought about, or none and it stands.
  change(path: string, typed: string): Promise<FaultSeen[]> {
    return this.changed('change', { path, typed }, `${path} = ${typed}`);
  }

  // A length moved by so much, its unit and its ± kept.
  nudge(path: string, by_mm: number): Promise<FaultSeen[]> {
    return this.changed('nudge', { path, by_mm }, `${path} moved by ${by_mm} mm`);
  }

  choose(set: AxleSet): Promise<FaultSeen[]> {
    return this.changed('choose', { set, none: false }, `${set.axle}: a set chosen`);
  }

  chooseNone(axle: string): Promise<FaultSeen[]> {
    const set = { axle, picks: [] };
    return this.changed('choose', { set, none: true }, `${axle}: the best is taken again`);
  }

  noteStep({ id, what }: Step, key: string, typed: string): Promise<FaultSeen[]> {
    const note = { step: id, part: '', words: what, key, typed };
    return this.changed('note', note, `${what}: ${key} ${typed}`);
  }

  notePart(part: string, key: string, typed: string): Promise<FaultSeen[]> {
    return this.changed(
      'note',
      { step: '', part, words: '', key, typed },
      `${part}: ${key} ${typed}`,
    );
  }

  // One after another, each of the text that the one before left.
  private changed<K extends 'change' | 'nudge' | 'choose' | 'note'>(
    kind: K,
    ask: Omit<Contract[K]['ask'], 'text'>,
    what: string,
  ): Promise<FaultSeen[]> {
    this.pending += 1;
    this.show({ looking: true });
    const done = this.changing.then(async () => {
      let reply: Changed | null = null;
      try {
        let text: string;
        do {
          // Undo, or another editor, may have changed the text while this was worked out.
          text = this.view.text;
          reply = await this.quick.ask(kind, { ...ask, text } as Contract[K]['ask']);
        } while (text !== this.view.text);
      } catch (error) {
        reply = null;
        this.tell(error);
      }
      this.pending -= 1;
      if (reply && reply.faults.length === 0 && reply.text !== this.view.text)
        this.edit(reply.text, what);
      else this.show({ looking: false });
      return reply?.faults ?? [];
    });
    this.changing = done;
    return done;
  }

  setInch(inch: boolean): void {
    this.show({ inch, tried: {}, before: {} });
    this.turn += 1;
    void this.workOut();
  }

  // ------------------------------------------------------------------------------ working it out

  // Every section there is now, in the order of the job.
  sections(): PageSection[] {
    const { looked, ranked } = this.view;
    const first = looked?.sections ?? [];
    const [next, ...rest] = ranked?.sections ?? [];
    const [car, measure, ...others] = first;
    return [car, measure, next, ...others, ...rest].filter(
      (s): s is PageSection => s !== undefined,
    );
  }

  // The set that an axle is shown with.
  setOf(axle: string): AxleSet | null {
    const tried = this.view.tried[axle];
    if (tried) return { axle, picks: tried.picks };
    const bench = this.view.looked?.bench.find((b) => b.axle === axle);
    if (bench?.tried) return { axle, picks: bench.tried.picks };
    return this.view.ranked?.axles.find((a) => a.axle === axle)?.set ?? null;
  }

  // Every axle that has one.
  sets(): AxleSet[] {
    return ['front', 'rear'].map((a) => this.setOf(a)).filter((s): s is AxleSet => s !== null);
  }

  triedOf(axle: string): Tried | null {
    return (
      this.view.tried[axle] ?? this.view.looked?.bench.find((b) => b.axle === axle)?.tried ?? null
    );
  }

  rankedOf(axle: string): RankedAxle | null {
    return this.view.ranked?.axles.find((a) => a.axle === axle) ?? null;
  }

  private async workOut(): Promise<void> {
    const turn = this.turn;
    clearTimeout(this.rankTimer);
    this.slow.stop(); // what it works out is of an older text
    this.show({
      looking: true,
      ranking: 0, // it follows, unless the file is at fault
      stopped: false,
      lookedIsOld: true,
      rankedIsOld: true,
    });
    // Until the ranking has caught up, the set of the one before is what is drawn.
    const sets = this.sets();
    if (!(await this.look(sets, turn, true))) return;
    const { looked } = this.view;
    if (!looked || looked.faults.length > 0 || looked.why !== '') {
      this.show({ ranked: null, ranking: null });
      return;
    }
    if (this.resting) return; // since it began: what follows is owed
    void this.look(sets, turn); // what was left out in the hurry
    if (this.view.stopped) return; // by hand, before it began
    this.rankTimer = setTimeout(() => void this.rank(), this.view.ranked ? rankAfter : 0);
  }

  private async look(sets: AxleSet[], turn: number, hurry = false): Promise<boolean> {
    try {
      const { text, inch } = this.view;
      const looked = await this.quick.ask('look', { text, inch, sets, hurry });
      if (turn !== this.turn) return false;
      // While a hand drags, what it holds stays.
      const tried = Object.keys(this.trying).length > 0 ? this.view.tried : {};
      this.show({
        looked,
        lookedIsOld: false,
        looking: false,
        tried,
        asked: this.stillAsked(),
        trouble: '',
      });
      return true;
    } catch (error) {
      if (turn === this.turn)
        this.show({ looking: false, ranking: hurry ? null : this.view.ranking });
      this.tell(error);
      return false;
    }
  }

  async rank(): Promise<void> {
    const turn = this.turn;
    this.show({ ranking: 0, stopped: false });
    try {
      const { text, inch } = this.view;
      const ranked = await this.slow.ask('rank', { text, inch }, (share) => {
        if (turn === this.turn) this.show({ ranking: share });
      });
      if (turn !== this.turn) return;
      const first = this.view.ranked === null;
      // The curves as corrected, with the sets found now.
      const stale = ranked.axles.filter((a) => !same(this.triedOf(a.axle)?.picks, a.set.picks));
      const again = first || stale.length > 0;
      this.show({ ranked, rankedIsOld: false, ranking: null, looking: again });
      if (again)
        await this.look(
          ranked.axles.map((a) => a.set),
          turn,
        );
    } catch (error) {
      if (turn === this.turn) this.show({ ranking: null });
      this.tell(error);
    }
  }

  stop(): void {
    this.slow.stop();
    clearTimeout(this.rankTimer);
    this.show({ ranking: null, stopped: true, said: 'stopped' });
  }

  // ----------------------------------------------------------------------------------- the bench

  // Shows what a set would do, without settling on it. While one is being worked out only the
  // newest of those that follow is kept.
  // `side`: of a hole that is moved; both where it is empty.
  try(set: AxleSet, moved = '', side = '', hole: [number, number][] = [], hurry = false): void {
    const { text, inch } = this.view;
    const ask = { text, inch, set, moved, side, hole, hurry };
    const busy = this.trying[set.axle] !== undefined;
    this.trying[set.axle] = busy ? ask : 'busy';
    if (!busy) void this.tryOne(ask);
  }

  private async tryOne(ask: Contract['try']['ask']): Promise<void> {
    const { axle } = ask.set;
    const turn = this.turn;
    try {
      const tried = await this.quick.ask('try', ask);
      this.lastTried[axle] = tried;
      if (turn === this.turn) this.show({ tried: { ...this.view.tried, [axle]: tried } });
    } catch (error) {
      this.tell(error);
    }
    const next = this.trying[axle];
    delete this.trying[axle];
    if (next !== undefined && next !== 'busy') {
      this.trying[axle] = 'busy';
      void this.tryOne(next);
    } else {
      this.whenTried[axle]?.(true);
      delete this.whenTried[axle];
    }
  }

  // Settles on what was tried last on an axle, once that has been worked out. Where something newer
  // is tried before that, it is the newer one's turn.
  async settle(axle: string): Promise<FaultSeen[]> {
    if (this.trying[axle] !== undefined) {
      this.whenTried[axle]?.(false);
      const mine = await new Promise<boolean>((resolve) => {
        this.whenTried[axle] = resolve;
      });
      if (!mine) return [];
    }
    const tried = this.lastTried[axle];
    return tried ? this.choose({ axle, picks: tried.picks }) : [];
  }

  // What a hand has picked, before it is worked out: the next step of the hand begins there. It is
  // forgotten once a look has come that knows of it.
  async pick(set: AxleSet): Promise<FaultSeen[]> {
    const { axle } = set;
    this.show({ asked: { ...this.view.asked, [axle]: set.picks } });
    this.picking[axle] = (this.picking[axle] ?? 0) + 1;
    this.try(set);
    const text = this.view.text;
    const faults = await this.settle(axle);
    this.picking[axle] = (this.picking[axle] ?? 1) - 1;
    if (this.picking[axle] === 0 && (faults.length > 0 || this.view.text === text))
      this.show({ asked: this.stillAsked() });
    return faults;
  }

  private stillAsked(): Record<string, Pick[]> {
    return Object.fromEntries(
      Object.entries(this.view.asked).filter(([axle]) => (this.picking[axle] ?? 0) > 0),
    );
  }

  // ---------------------------------------------------------------------------------- the drawing

  // The car of the text, with the sets that are shown, where it is driven to.
  draw(ask: Omit<Contract['draw']['ask'], 'text' | 'inch' | 'sets'>): Promise<DrawnScene> {
    const { text, inch } = this.view;
    return this.quick.ask('draw', { ...ask, text, inch, sets: this.sets() });
  }

  joints(): Promise<JointTable> {
    const { text, inch } = this.view;
    return this.quick.ask('joints', { text, inch });
  }

  // -------------------------------------------------------------------------------------- keeping

  // A text that was only opened so far.
  keepNow(): void {
    if (!this.keeping.stored) this.keeping.keep(this.view.text);
  }

  // Somebody else wrote meanwhile: theirs, or ours over theirs. Neither is lost: undo has the other.
  async settleConflict(mine: boolean): Promise<void> {
    const conflict = this.keeping.settled();
    if (!conflict) return;
    if (!mine) {
      this.adopt(conflict, 'the other text taken');
      return;
    }
    const ours = this.view.text;
    this.history.edit(conflict.text, 'the other text written over');
    this.history.edit(ours, 'ours kept');
    this.show({ undoes: this.history.undoes, redoes: null });
    this.keeping.keep(ours);
    await this.keeping.tried;
  }

  private adopt(kept: Kept, what: string): void {
    this.keeping.taken(kept.stamp);
    if (this.history.edit(kept.text, what)) this.newText(what);
  }

  // A text that was made from what bore `stamp`, and did not reach the keeper the last time: it goes
  // on from there, or meets what somebody else wrote meanwhile.
  resume(text: string, stamp: string): void {
    this.keeping.from(stamp);
    this.edit(text, 'what could not be sent the last time');
  }

  // Whether another editor, or another tab, wrote: then its text is taken, and undo has ours.
  lookAtKept(): Promise<void> {
    return this.keeping.look();
  }

  // --------------------------------------------------------------------------------------- trouble

  private tell(error: unknown): void {
    if (error instanceof Stopped) return;
    if (error instanceof Crashed)
      this.show({
        trouble: `The core stopped working and was started anew (${error.message}). The text is safe.`,
      });
    else if (error instanceof Failed)
      this.show({ trouble: `The core could not answer: ${error.message}.` });
    else this.show({ trouble: String(error) });
  }

  refuse(what: string): void {
    this.show({ refused: what });
  }

  quiet(): void {
    this.show({ trouble: '', refused: '' });
    this.keeping.quiet();
  }
}

// What the owner has to be told, besides what is wrong with the file.
export function troublesOf(view: View): string[] {
  return [view.trouble, view.refused, view.unkept].filter((t) => t !== '');
}

function same(a: Pick[] | undefined, b: Pick[]): boolean {
  return a !== undefined && JSON.stringify(a) === JSON.stringify(b);
}
