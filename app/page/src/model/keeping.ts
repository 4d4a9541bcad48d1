// Keeps the newest text with its keeper, one save after another, and finds out what somebody else
// wrote meanwhile. Nothing is written over unasked.
import type { Keeper, Kept, Saved } from './keeper';

export interface KeepingView {
  keeping: 'kept' | 'keeping' | 'not kept';
  unkept: string; // why the text could not be kept; empty where it could
  conflict: Kept | null; // what somebody else wrote
}

export class Keeping {
  view: KeepingView;
  private saving: Promise<void> = Promise.resolve();
  private pending: string | null = null; // a text waiting to be kept
  private asking = false; // whether another one wrote

  // `stamp`: of what is kept; null where nothing is yet. `take` is given what another editor wrote
  // where nothing of ours stands in its way.
  constructor(
    private readonly keeper: Keeper,
    private stamp: string | null,
    private readonly tell: (change: Partial<KeepingView>) => void,
    private readonly take: (kept: Kept, what: string) => void,
  ) {
    this.view = { keeping: stamp === null ? 'not kept' : 'kept', unkept: '', conflict: null };
  }

  private show(change: Partial<KeepingView>): void {
    this.view = { ...this.view, ...change };
    this.tell(change);
  }

  get stored(): boolean {
    return this.stamp !== null;
  }

  keep(text: string): void {
    this.pending = text;
    this.keeper.remember?.(text, this.stamp ?? '');
    this.show({ keeping: this.view.conflict ? 'not kept' : 'keeping' });
    this.saving = this.saving.then(() => this.save());
  }

  private async save(): Promise<void> {
    const text = this.pending;
    if (text === null || this.view.conflict) return;
    this.pending = null;
    const saved = await this.keeper.save(text, this.stamp);
    this.took(saved);
    if ('failed' in saved && saved.away) this.pending ??= text; // for the next look
  }

  private took(saved: Saved): void {
    if ('conflict' in saved)
      this.show({ conflict: saved.conflict, keeping: 'not kept', unkept: '' });
    else if ('failed' in saved)
      this.show({ unkept: `Not kept: ${saved.failed}.`, keeping: 'not kept' });
    else {
      this.stamp = saved.stamp;
      this.show({ keeping: this.pending === null ? 'kept' : 'keeping', unkept: '' });
    }
  }

  // All that was to be kept has been tried.
  get tried(): Promise<void> {
    return this.saving;
  }

  // What comes next was made from what bears `stamp`.
  from(stamp: string): void {
    this.stamp = stamp;
  }

  // The conflict, which is settled from here on: what is kept next is written over it.
  settled(): Kept | null {
    const { conflict } = this.view;
    if (!conflict) return null;
    this.stamp = conflict.stamp;
    this.show({ conflict: null });
    return conflict;
  }

  // The text is what bears `stamp`: nothing is left to be kept.
  taken(stamp: string): void {
    this.stamp = stamp;
    this.pending = null;
    this.keeper.forget?.();
    this.show({ keeping: 'kept', unkept: '' });
  }

  // Whether another editor, or another tab, wrote. What could not be sent is tried again first.
  async look(): Promise<void> {
    if (this.asking) return; // an answer may be long in coming
    this.asking = true;
    try {
      await this.saving;
      if (this.pending !== null) this.saving = this.saving.then(() => this.save());
      await this.saving;
      await this.takeWhatIsKept();
    } finally {
      this.asking = false;
    }
  }

  private async takeWhatIsKept(): Promise<void> {
    if (this.stamp === null || this.view.conflict) return;
    const stamp = await this.keeper.look();
    if (stamp === null || stamp === this.stamp || this.view.keeping !== 'kept') return;
    const kept = await this.keeper.load().catch(() => null); // gone since: the next look tells
    if (kept && kept.stamp !== this.stamp && this.view.keeping === 'kept')
      this.take(kept, `changed by another editor in ${this.keeper.where}`);
  }

  quiet(): void {
    this.show({ unkept: '' });
  }
}
