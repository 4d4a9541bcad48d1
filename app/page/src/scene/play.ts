// Driving the drawing without a hand on it, and asking the core no faster than it answers.

export interface Drive {
  travel: number; // mm, from ride height
  rack: number; // mm, to the left
  roll: number; // degrees, left side up
}
export type DriveKey = keyof Drive;
export const still: Drive = { travel: 0, rack: 0, roll: 0 };

const period = 5000; // ms there and back
const share = 0.7; // of what the slider reaches
const stepsInPeriod = 12;

// How far along its way a control is, as a share of a period, going up from `value`.
export function phaseOf(value: number, low: number, high: number): number {
  const reach = (share * (high - low)) / 2;
  const s = Math.min(1, Math.max(-1, (value - (low + high) / 2) / reach));
  return Math.asin(s) / (2 * Math.PI);
}
export function valueAt(phase: number, low: number, high: number, step: number): number {
  const reach = (share * (high - low)) / 2;
  const value = (low + high) / 2 + reach * Math.sin(2 * Math.PI * phase);
  const whole = Math.round(value / step) * step;
  return Object.is(whole, -0) ? 0 : Number(whole.toFixed(4));
}
export const phaseAfter = (phase: number, ms: number): number => phase + ms / period;
export const nextStep = (phase: number): number => phase + 1 / stepsInPeriod;

// One question at a time; of those that come meanwhile the newest is asked next.
export class Newest<A, R> {
  private busy = false;
  private next: { ask: A } | null = null;
  private ended = false;

  constructor(
    private readonly put: (ask: A) => Promise<R>,
    private readonly came: (reply: R) => void,
    private readonly failed: (why: unknown) => void,
  ) {}

  get idle(): boolean {
    return !this.busy;
  }

  ask(ask: A): void {
    if (this.ended) return;
    if (this.busy) {
      this.next = { ask };
      return;
    }
    this.busy = true;
    void this.put(ask).then(
      (reply) => this.done(() => this.came(reply)),
      (why: unknown) => this.done(() => this.failed(why)),
    );
  }

  end(): void {
    this.ended = true;
    this.next = null;
  }

  private done(tell: () => void): void {
    this.busy = false;
    if (this.ended) return;
    const next = this.next;
    this.next = null;
    if (next) this.ask(next.ask);
    tell();
  }
}
