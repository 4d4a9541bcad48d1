// Texts on the way to a program that may be out of reach for a while: each stays in the browser until
// the program has it, through a reload too.
import type { Begun } from './begin';
import type { Keeper, Kept, Saved } from './keeper';

export interface Unsent {
  id: string;
  text: string;
  stamp: string; // of the text it was made from
}
export interface UnsentStore {
  unsent(id: string): Promise<Unsent | undefined>;
  putUnsent(unsent: Unsent): Promise<void>;
  dropUnsent(id: string): Promise<void>;
}

export class PatientKeeper implements Keeper {
  private newest: string | null = null; // remembered, and not kept yet
  private readonly sent = new Set<string>(); // no answer came: they may have arrived

  constructor(
    private readonly inner: Keeper,
    private readonly store: UnsentStore,
    private readonly id: string,
  ) {}

  get where(): string {
    return this.inner.where;
  }

  load(): Promise<Kept | null> {
    return this.inner.load();
  }

  look(): Promise<string | null> {
    return this.inner.look();
  }

  // Without waiting: what the store cannot take is still sent.
  remember(text: string, stamp: string): void {
    this.newest = text;
    this.store.putUnsent({ id: this.id, text, stamp }).catch(() => undefined);
  }

  forget(): void {
    this.newest = null;
    this.sent.clear();
    this.store.dropUnsent(this.id).catch(() => undefined);
  }

  async save(text: string, stamp: string | null): Promise<Saved> {
    let saved = await this.once(text, stamp);
    // What is there may be ours: it arrived, and its answer did not.
    if ('conflict' in saved && saved.conflict.text === text)
      saved = { stamp: saved.conflict.stamp };
    else if ('conflict' in saved && this.sent.has(saved.conflict.text))
      saved = await this.once(text, saved.conflict.stamp);

    if ('conflict' in saved) this.sent.clear();
    else if ('stamp' in saved) this.kept(text, saved.stamp);
    else if (saved.away)
      return {
        ...saved,
        failed: `${saved.failed}; the text stays in this browser and is sent once the program is there again`,
      };
    return saved;
  }

  private async once(text: string, stamp: string | null): Promise<Saved> {
    const saved = await this.inner.save(text, stamp);
    if ('failed' in saved && saved.away) this.sent.add(text);
    return saved;
  }

  private kept(text: string, stamp: string): void {
    this.sent.clear();
    if (this.newest === null || this.newest === text) this.forget();
    else this.remember(this.newest, stamp);
  }
}

// The program's car with what did not reach the program the last time, if anything.
export async function patient(store: UnsentStore, begun: Begun): Promise<Begun> {
  const keeper = new PatientKeeper(begun.keeper, store, begun.id);
  const unsent = await store.unsent(begun.id);
  if (!unsent) return { ...begun, keeper };
  if (unsent.text !== begun.kept.text) return { ...begun, keeper, unsent };
  keeper.forget();
  return { ...begun, keeper };
}
