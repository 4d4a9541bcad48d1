// Where the text is kept: the car file on disk by way of the program, or the browser's own store.
// Both refuse to write over what somebody else wrote meanwhile.
export interface Kept {
  text: string;
  stamp: string; // changes whenever the text does
  name: string;
}
// away: nobody answered, so that it may go well another time.
export type Saved = { stamp: string } | { conflict: Kept } | { failed: string; away?: true };

export interface Keeper {
  readonly where: string; // in words
  load(): Promise<Kept | null>;
  // Writes where what is kept still bears `stamp`; null: nothing is kept yet.
  save(text: string, stamp: string | null): Promise<Saved>;
  // The stamp of what is kept now; null where nothing is, or it cannot be asked.
  look(): Promise<string | null>;
  // Where what is kept may be out of reach for a while: holds on to a text that is still to be kept
  // and was made from what bears `stamp`, until it is; or lets go of it.
  remember?(text: string, stamp: string): void;
  forget?(): void;
}

type Fetch = (path: string, init?: RequestInit) => Promise<Response>;

// A network that goes away leaves a question open for minutes; browsers before 2022 cannot set a limit.
const patience_ms = 10_000;
const inTime: Fetch = (path, init) =>
  fetch(path, { ...init, signal: AbortSignal.timeout?.(patience_ms) ?? null });

export class DiskKeeper implements Keeper {
  where = 'the file on disk';

  constructor(private readonly ask: Fetch = inTime) {}

  async load(): Promise<Kept | null> {
    const response = await this.ask('/car', { cache: 'no-store' });
    // Some other server that the page was put on answers everything with something.
    if (!response.ok || !response.headers.has('X-Car-Name')) return null;
    return this.kept(response);
  }

  async save(text: string, stamp: string | null): Promise<Saved> {
    try {
      const response = await this.ask('/car', {
        method: 'PUT',
        headers: { 'Content-Type': 'text/plain; charset=utf-8', 'If-Match': stamp ?? '"none"' },
        body: text,
      });
      if (response.status === 412) return { conflict: await this.kept(response) };
      if (!response.ok)
        return { failed: (await response.text()).trim() || `status ${response.status}` };
      return { stamp: response.headers.get('ETag') ?? '' };
    } catch {
      return { failed: 'the program that serves this page cannot be reached', away: true };
    }
  }

  async look(): Promise<string | null> {
    try {
      const response = await this.ask('/car', { method: 'HEAD', cache: 'no-store' });
      return response.ok ? response.headers.get('ETag') : null;
    } catch {
      return null;
    }
  }

  private async kept(response: Response): Promise<Kept> {
    const name = decodeURIComponent(response.headers.get('X-Car-Name') ?? 'car.toml');
    return { text: await response.text(), stamp: response.headers.get('ETag') ?? '', name };
  }
}

// The part of the browser's store that a car needs.
export interface CarStore {
  get(id: string): Promise<StoredCar | undefined>;
  // In one transaction: writes where the stored revision is the one given, else gives what is there.
  putIf(car: StoredCar, revision: number): Promise<StoredCar | null>;
}
export interface StoredCar {
  id: string;
  name: string;
  text: string;
  revision: number;
  saved: number; // when, in ms
}

export class BrowserKeeper implements Keeper {
  where = 'this browser';

  constructor(
    private readonly store: CarStore,
    private readonly id: string,
    private readonly name: string,
    private readonly now: () => number = Date.now,
  ) {}

  async load(): Promise<Kept | null> {
    const car = await this.store.get(this.id);
    return car ? kept(car) : null;
  }

  async save(text: string, stamp: string | null): Promise<Saved> {
    const revision = Number(stamp ?? 0);
    const car = {
      id: this.id,
      name: this.name,
      text,
      revision: revision + 1,
      saved: this.now(),
    };
    try {
      const other = await this.store.putIf(car, revision);
      return other ? { conflict: kept(other) } : { stamp: String(car.revision) };
    } catch (error) {
      return { failed: `the browser's store refused it (${String(error)})` };
    }
  }

  async look(): Promise<string | null> {
    try {
      const car = await this.store.get(this.id);
      return car ? String(car.revision) : null;
    } catch {
      return null;
    }
  }
}

function kept(car: StoredCar): Kept {
  return { text: car.text, stamp: String(car.revision), name: car.name };
}
