import { describe, expect, it } from 'vitest';
import { BrowserKeeper, DiskKeeper, type CarStore, type StoredCar } from '../../src/model/keeper';

class Shelf implements CarStore {
  cars = new Map<string, StoredCar>();
  async get(id: string) {
    return this.cars.get(id);
  }
  async putIf(car: StoredCar, revision: number) {
    const there = this.cars.get(car.id);
    if ((there?.revision ?? 0) !== revision) return there ?? null;
    this.cars.set(car.id, car);
    return null;
  }
}

describe('the browser as keeper', () => {
  it('refuses to write over what another tab wrote', async () => {
    const shelf = new Shelf();
    const one = new BrowserKeeper(shelf, 'car', 'car.toml', () => 5);
    const two = new BrowserKeeper(shelf, 'car', 'car.toml', () => 6);
    expect(await one.load()).toBeNull();
    expect(await one.save('a', null)).toEqual({ stamp: '1' });
    const seen = await two.load();
    expect(seen).toEqual({ text: 'a', stamp: '1', name: 'car.toml' });
    expect(await two.save('b', seen!.stamp)).toEqual({ stamp: '2' });
    expect(await one.save('c', '1')).toEqual({
      conflict: { text: 'b', stamp: '2', name: 'car.toml' },
    });
    expect((await one.load())!.text).toBe('b');
    expect(await one.look()).toBe('2');
  });

  it('says why where the store refuses', async () => {
    const full: CarStore = {
      get: () => Promise.reject(new Error('gone')),
      putIf: () => Promise.reject(new Error('quota')),
    };
    const keeper = new BrowserKeeper(full, 'car', 'car.toml');
    expect(await keeper.save('a', null)).toEqual({
      failed: "the browser's store refused it (Error: quota)",
    });
    expect(await keeper.look()).toBeNull();
  });
});

describe('the disk as keeper', () => {
  const asked: { method: string; headers: Record<string, string>; body: unknown }[] = [];
  const keeper = (reply: () => Response) =>
    new DiskKeeper((_, init) => {
      asked.push({
        method: init?.method ?? 'GET',
        headers: (init?.headers ?? {}) as Record<string, string>,
        body: init?.body,
      });
      return Promise.resolve(reply());
    });

  it('reads the file with its stamp and its name', async () => {
    const headers = { ETag: '"1-2"', 'X-Car-Name': 'my%20car.toml' };
    const kept = await keeper(() => new Response('text', { headers })).load();
    expect(kept).toEqual({ text: 'text', stamp: '"1-2"', name: 'my car.toml' });
    expect(await keeper(() => new Response('', { status: 404 })).load()).toBeNull();
    expect(await keeper(() => new Response('<html>', { status: 200 })).load()).toBeNull();
  });

  it('writes only where the file is still the one it knows', async () => {
    const done = keeper(() => new Response(null, { status: 204, headers: { ETag: '"2"' } }));
    expect(await done.save('b', '"1"')).toEqual({ stamp: '"2"' });
    expect(asked.at(-1)).toEqual({
      method: 'PUT',
      headers: { 'Content-Type': 'text/plain; charset=utf-8', 'If-Match': '"1"' },
      body: 'b',
    });
    const other = keeper(
      () =>
        new Response('theirs', { status: 412, headers: { ETag: '"3"', 'X-Car-Name': 'c.toml' } }),
    );
    expect(await other.save('b', '"1"')).toEqual({
      conflict: { text: 'theirs', stamp: '"3"', name: 'c.toml' },
    });
  });

  it('says in words why it could not', async () => {
    const full = keeper(() => new Response('the disk is full', { status: 500 }));
    expect(await full.save('b', '"1"')).toEqual({ failed: 'the disk is full' });
    const gone = new DiskKeeper(() => Promise.reject(new Error('refused')));
    expect(await gone.save('b', '"1"')).toEqual({
      failed: 'the program that serves this page cannot be reached',
      away: true,
    });
    expect(await gone.look()).toBeNull();
  });
});
