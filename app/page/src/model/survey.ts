// The survey while it is being taken: which card fills the screen, what is typed on it, and which
// comes next. Everything that was entered stands in the text at once.
import type { CardShown, FaultSeen, FloorDayListed, GaugeShown, RoundShown } from './contract';
import {
  afterKey,
  asFile,
  type AngleUnit,
  type Key,
  type LengthUnit,
  type Quantity,
} from './typed';
import type { Workbench } from './workbench';

export interface FreeCard {
  reading: string;
  from: string;
  to: string;
}
export interface Entry {
  number: string;
  value: string;
}

// The day whose readings on the floor are taken; null: the survey's own cards are taken.
export interface FloorDay extends FloorDayListed {
  days: FloorDayListed[]; // that the file has
}

export interface SurveyView {
  floor: FloorDay | null;
  at: 'closed' | 'round' | 'card' | 'gauge';
  round: RoundShown | null;
  card: CardShown | null;
  free: FreeCard | null; // the card is not of the round
  station: string; // of the card taken last: it lies open in the list
  values: string[]; // as typed, by field
  field: number; // that the keys go to
  sigma: string; // empty: the usual one
  faults: string[];
  asks: string[]; // what surprises about what was typed; entering it again keeps it
  last: Entry[]; // what was entered last, newest first
  gauge: GaugeShown | null;
  corner: string;
  withParts: boolean; // the run is one with the parts fitted
  base: string;
  drop: string;
  dials: { travel: string; front: string; rear: string; low: string };
  busy: boolean;
  units: { length: LengthUnit; angle: AngleUnit };
  said: string;
}

const lastKept = 3;
const told = (entry: Entry) => `${entry.number}: ${entry.value}`; // as undo tells of it
const nothingTyped = { travel: '', front: '', rear: '', low: '' };
export type Dial = keyof SurveyView['dials'];

export class SurveyDesk {
  view: SurveyView;
  private readonly listeners = new Set<(view: SurveyView) => void>();
  private knownTimer: ReturnType<typeof setTimeout> | undefined;
  private skipped = new Set<string>();

  constructor(
    private readonly bench: Workbench,
    private readonly knownAfter = 700, // ms without a further entry
    private readonly onFloor = false, // the cards of alignment
  ) {
    this.view = {
      floor: onFloor ? { when: '', fitted: false, driven: false, days: [] } : null,
      at: 'closed',
      round: null,
      card: null,
      free: null,
      station: '',
      values: [],
      field: 0,
      sigma: '',
      faults: [],
      asks: [],
      last: [],
      gauge: null,
      corner: '',
      withParts: false,
      base: bench.view.inch ? '12' : '300',
      drop: '',
      dials: nothingTyped,
      busy: false,
      units: bench.view.inch ? { length: 'in', angle: '°' } : { length: 'mm', angle: '°' },
      said: '',
    };
  }

  subscribe(listener: (view: SurveyView) => void): () => void {
    this.listeners.add(listener);
    listener(this.view);
    return () => this.listeners.delete(listener);
  }

  private show(change: Partial<SurveyView>): void {
    this.view = { ...this.view, ...change };
    for (const listener of this.listeners) listener(this.view);
  }

  // Nothing else is worked out while cards are taken: a phone under a car has little battery.
  async open(): Promise<void> {
    this.bench.rest(true);
    this.show({ at: 'round', busy: true });
    await this.refresh();
    this.show({ busy: false });
    this.knownLater(0);
  }

  close(): void {
    clearTimeout(this.knownTimer);
    this.show({ at: 'closed', card: null, gauge: null, faults: [], asks: [] });
    this.bench.rest(false);
  }

  // The list of stations and what is known.
  async list(): Promise<void> {
    if (this.view.at === 'closed') return;
    this.show({ at: 'round', card: null, gauge: null, faults: [], asks: [] });
    await this.refresh();
    this.knownLater(0);
  }

  private async refresh(): Promise<void> {
    const { text, inch } = this.bench.view;
    if (this.view.floor) return this.refreshFloor(this.view.floor);
    const round = await this.bench.ask('show_round', { text, inch, known: false });
    if (round && this.view.at !== 'closed')
      this.show({ round: { ...round, known: this.view.round?.known ?? [] } });
  }

  // The last day of the file goes on, unless the hand has named another.
  private async refreshFloor(floor: FloorDay): Promise<void> {
    const { text, inch } = this.bench.view;
    const ask = (when: string) => this.bench.ask('show_floor_round', { text, inch, when });
    let shown = await ask(floor.when);
    const last = shown?.days.at(-1);
    if (shown && floor.when === '') {
      const day = last ?? { when: 'as found', fitted: false, driven: false };
      shown = await ask(day.when);
      this.show({ floor: { ...day, days: floor.days } });
    }
    if (!shown || this.view.at === 'closed' || !this.view.floor) return;
    const { why, stations, days } = shown;
    const known = days.find((d) => d.when === this.view.floor!.when);
    this.show({
      floor: { ...this.view.floor, ...known, days },
      round: { why, stations, runs: [], corners: [], joints: [], known: [], misread: [] },
    });
  }
  // Another day: one of the file, or a new one.
  async setDay(day: FloorDayListed): Promise<void> {
    if (!this.view.floor || day.when.trim() === '') return;
    this.skipped.clear();
    this.show({ floor: { ...day, when: day.when.trim(), days: this.view.floor.days }, faults: [] });
    await this.refresh();
  }

  // What each axle answers by now takes a moment: it waits until the hand rests, and is about the
  // newest text only.
  private knownLater(after = this.knownAfter): void {
    clearTimeout(this.knownTimer);
    if (this.onFloor) return;
    this.knownTimer = setTimeout(() => void this.findKnown(), after);
  }
  private async findKnown(): Promise<void> {
    const { text, inch } = this.bench.view;
    if (this.finding || this.view.at === 'closed') return;
    this.finding = true;
    const found = await this.bench.ask('show_round', { text, inch, known: true }, true);
    this.finding = false;
    if (found && this.view.round) this.show({ round: { ...this.view.round, known: found.known } });
    if (text !== this.bench.view.text) this.knownLater();
  }
  private finding = false;

  // ------------------------------------------------------------------------------------- cards

  async take(number: string, free: FreeCard | null = null): Promise<void> {
    const { text, inch } = this.bench.view;
    const { reading, from, to } = free ?? { reading: '', from: '', to: '' };
    const when = this.view.floor?.when;
    const card =
      when === undefined
        ? await this.bench.ask('show_card', { text, inch, number, reading, from, to })
        : await this.bench.ask('show_floor_card', { text, inch, number, when });
    if (!card || this.view.at === 'closed') return;
    if (card.why !== '') {
      this.show({ faults: [card.why] });
      return;
    }
    const same = this.view.card?.number === card.number;
    this.show({
      at: 'card',
      card,
      free: card.number === 'X' ? free : null,
      station: card.station,
      values: card.fields.map(() => ''),
      field: 0,
      sigma: same ? this.view.sigma : '',
      faults: [],
      asks: [],
    });
  }

  // What a quick hand types while a card is being entered belongs to the next one.
  press(key: Key): void {
    if (this.view.busy) this.ahead.push(key);
    else this.type(this.view.field, afterKey(this.view.values[this.view.field] ?? '', key));
  }
  private ahead: Key[] = [];
  type(field: number, text: string): void {
    this.show({
      values: this.view.values.map((v, i) => (i === field ? text : v)),
      field,
      faults: [],
      asks: [],
    });
  }
  setSigma(sigma: string): void {
    this.show({ sigma, faults: [], asks: [] });
  }
  focus(field: number): void {
    if (field !== this.view.field) this.show({ field });
  }
  setUnit(quantity: Quantity, unit: LengthUnit | AngleUnit): void {
    this.show({ units: { ...this.view.units, [quantity]: unit }, faults: [], asks: [] });
  }

  private asTyped(): string[] {
    const { card, values, units } = this.view;
    return (card?.fields ?? []).map((f, i) =>
      asFile(values[i] ?? '', units[f.quantity as Quantity]),
    );
  }

  // Enter: the next field that is wanted, or the card is taken. `again`: it stays for a repeat.
  async enter(again = false): Promise<void> {
    const { card, values, field, asks } = this.view;
    if (!card || this.view.busy) return;
    const empty = card.fields.findIndex((_, i) => i > field && values[i] === '');
    const optional = card.fields[field + 1]?.needed === false;
    if (asks.length === 0 && empty === field + 1 && values[field] !== '' && card.fields[empty]) {
      // A field that may be left out is offered once, unless the hand is off to read again.
      if (!optional || (!again && !this.offered.has(empty))) {
        this.offered.add(empty);
        this.show({ field: empty });
        return;
      }
    }
    this.offered.clear();
    this.doing = this.enterWhole(card, again);
    await this.doing;
  }
  private doing: Promise<void> = Promise.resolve();

  private async enterWhole(card: CardShown, again: boolean): Promise<void> {
    this.ahead = [];
    this.show({ busy: true });
    const entered = await this.enterTyped(card);
    // Unless the hand has left the card meanwhile.
    const here = this.view.at === 'card' && this.view.card === card;
    if (entered && here) {
      if (again) await this.take(this.view.free ? '' : card.number, this.view.free);
      else if (this.view.free) await this.list();
      else await this.next(card.number);
    }
    this.show({ busy: false });
    if (entered && here && this.view.at === 'card') this.ahead.forEach((key) => this.press(key));
  }

  // Whether it stands in the text now.
  private async enterTyped(card: CardShown): Promise<boolean> {
    const free = this.view.free ?? { reading: '', from: '', to: '' };
    const number = this.view.free ? '' : card.number;
    const values = this.asTyped();
    const sigma = this.view.sigma === '' ? '' : asFile(this.view.sigma, this.sigmaUnit());
    const sure = this.view.asks.length > 0;
    const floor = this.view.floor;
    const done = await this.ofText((text, inch) => {
      if (!floor)
        return this.bench.ask('enter_card', { text, inch, number, ...free, values, sigma, sure });
      const { when, fitted, driven } = floor;
      return this.bench.ask('enter_floor_card', {
        text,
        inch,
        number,
        when,
        fitted,
        driven,
        values,
        sigma,
        sure,
      });
    });
    if (!done) return false;
    const { faults, asks } = done;
    if (faults.length > 0 || asks.length > 0) {
      const field = Math.max(0, faults[0]?.field ?? 0);
      this.show({ faults: faults.map((f) => f.what), asks, field });
      return false;
    }
    const shown = values.filter((v) => v !== '').join(', ');
    this.bench.edit(done.text, told({ number: card.number, value: shown }));
    this.show({
      last: [{ number: card.number, value: shown }, ...this.view.last].slice(0, lastKept),
      said: `${card.number} ${shown} entered`,
    });
    await this.refresh();
    this.knownLater();
    return true;
  }
  private offered = new Set<number>();

  private sigmaUnit(): LengthUnit | AngleUnit {
    const quantity = this.view.card?.fields[0]?.quantity as Quantity | undefined;
    return this.view.units[quantity ?? 'length'];
  }

  skip(): Promise<void> {
    const number = this.view.card?.number ?? '';
    this.skipped.add(number);
    return this.next(number);
  }

  // The next card on the way round that holds nothing yet and was not skipped; behind the last one
  // the list.
  private async next(number: string): Promise<void> {
    const cards = this.cards();
    const at = cards.findIndex((c) => c.number === number);
    const ahead = at < 0 ? cards : cards.slice(at + 1);
    const card = ahead.find((c) => c.taken === 0 && !this.skipped.has(c.number));
    this.offered.clear();
    if (card) await this.take(card.number);
    else await this.list();
  }
  // Where the round goes on: the first card that holds nothing and was not skipped; then a skipped
  // one; empty where every card holds a reading.
  goesOn(): string {
    const open = this.cards().filter((c) => c.taken === 0);
    return (open.find((c) => !this.skipped.has(c.number)) ?? open[0])?.number ?? '';
  }
  back(): Promise<void> {
    const cards = this.cards();
    const at = cards.findIndex((c) => c.number === this.view.card?.number);
    const before = cards[at - 1];
    return before ? this.take(before.number) : this.list();
  }
  private cards() {
    return (this.view.round?.stations ?? []).flatMap((s) => s.cards);
  }

  async setAside(name: string, aside: boolean): Promise<void> {
    const done = await this.ofText((text) => this.bench.ask('set_aside', { text, name, aside }));
    if (!(await this.took(done, aside ? `${name} set aside` : `${name} taken in again`))) return;
    const { card, free } = this.view;
    if (card) await this.take(free ? '' : card.number, free);
  }

  // The last entry is undone, here as anywhere.
  async undo(): Promise<void> {
    await this.doing;
    const { undoes } = this.bench.view;
    if (undoes === null) return;
    this.bench.undo();
    const [newest, ...older] = this.view.last;
    this.show({
      last: newest && undoes === told(newest) ? older : this.view.last,
      said: `undone: ${undoes}`,
    });
    await this.refresh();
    this.knownLater();
    const { card, free, at } = this.view;
    const undone = newest && undoes === told(newest) ? newest.number : '';
    if (at === 'card' && card) {
      // To the card whose reading it was: that is the one to be typed anew.
      if (this.cards().some((c) => c.number === undone)) await this.take(undone);
      else await this.take(free ? '' : card.number, free);
    }
    if (at === 'gauge')
      await this.run(this.view.corner, this.view.gauge?.name ?? '', this.view.withParts);
  }

  // ------------------------------------------------------------------------------------- gauge

  async run(corner: string, name = '', withParts = false, fresh = false): Promise<void> {
    const { text, inch } = this.bench.view;
    const sets = this.bench.sets();
    const ask = { text, inch, name, corner, with_parts: withParts, sets, fresh };
    const gauge = await this.bench.ask('show_gauge', ask);
    if (!gauge || this.view.at === 'closed') return;
    if (gauge.why !== '') {
      this.show({ faults: [gauge.why] });
      return;
    }
    this.show({
      at: 'gauge',
      gauge,
      corner,
      withParts,
      faults: [],
      asks: [],
      dials: { ...nothingTyped, travel: gauge.next_mm },
    });
  }
  // A run of its own, beside what the corner has already.
  anotherRun(): Promise<void> {
    return this.run(this.view.corner, '', this.view.withParts, true);
  }
  setRun(change: Partial<Pick<SurveyView, 'base' | 'drop'>>): void {
    this.show({ ...change, faults: [] });
  }
  pressDial(which: Dial, key: Key): void {
    if (this.view.busy) this.ahead.push(key);
    else this.dial(which, afterKey(this.view.dials[which], key));
  }
  dial(which: Dial, text: string): void {
    this.show({ dials: { ...this.view.dials, [which]: text }, faults: [] });
  }

  async enterRow(): Promise<void> {
    if (!this.view.gauge || this.view.busy) return;
    this.doing = this.enterTypedRow(this.view.gauge);
    await this.doing;
  }
  private async enterTypedRow(gauge: GaugeShown): Promise<void> {
    const { corner, dials, base, drop, withParts } = this.view;
    this.ahead = [];
    this.show({ busy: true });
    const done = await this.ofText((text, inch) => {
      const long = (typed: string) => asFile(typed, inch ? 'in' : 'mm');
      const dial = (typed: string) => asFile(typed, inch ? 'thou' : 'mm');
      return this.bench.ask('enter_gauge', {
        text,
        name: gauge.name,
        corner,
        base: long(base),
        drop: long(drop),
        travel: long(dials.travel),
        front: dial(dials.front),
        rear: dial(dials.rear),
        low: dial(dials.low),
        with_parts: withParts,
        sets: this.bench.sets(),
      });
    });
    const what = `gauge ${corner}: ${dials.travel}, ${dials.front}, ${dials.rear}`;
    const entered = await this.took(done, what);
    if (entered) this.show({ said: 'row entered' });
    // The run that was begun just now has a name by now.
    const here = this.view.at === 'gauge' && this.view.gauge === gauge;
    if (entered && here) await this.run(corner, gauge.name, withParts);
    this.show({ busy: false });
    if (entered && here) this.ahead.forEach((key) => this.pressDial('front', key));
  }

  // An answer about the text as it is by then: undo, or another editor, may have changed it while
  // the first one was worked out.
  private async ofText<R>(
    ask: (text: string, inch: boolean) => Promise<R | null>,
  ): Promise<R | null> {
    for (;;) {
      const { text, inch } = this.bench.view;
      const done = await ask(text, inch);
      if (!done || text === this.bench.view.text) return done;
    }
  }

  private async took(
    done: { text: string; faults: FaultSeen[] } | null,
    what: string,
  ): Promise<boolean> {
    if (!done) return false;
    if (done.faults.length > 0) {
      this.show({ faults: done.faults.map((f) => f.what) });
      return false;
    }
    this.bench.edit(done.text, what);
    await this.refresh();
    this.knownLater();
    return true;
  }
}
