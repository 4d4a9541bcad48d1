import { describe, expect, it } from 'vitest';
import type { Keeper, Kept, Saved } from '../../src/model/keeper';
import { patient, PatientKeeper, type Unsent, type UnsentStore } from '../../src/model/unsent';

class Shelf implements UnsentStore {
  held = new Map<string, Unsent>();
  async unsent(id: string) {
    return this.held.get(id);
  }
  async putUnsent(unsent: Unsent) {
    this.held.set(unsent.id, unsent);
  }
  async dropUnsent(id: string) {
    this.held.delete(id);
  }
}

// A disk behind a network that can be cut: before a question, or before its answer.
class Disk implements Keeper {
  where = 'the disk';
  cut: 'nothing' | 'question' | 'answer' = 'nothing';
  refuses = '';
  kept: Kept = { text: 'a', stamp: '1', name: 'car.toml' };
  async load() {
    return this.kept;
  }
  async look() {
    return this.cut === 'nothing' ? this.kept.stamp : null;
  }
  async save(text: string, stamp: string | null): Promise<Saved> {
    const away = { failed: 'no answer', away: true } as const;
    if (this.cut === 'question') return away;
    if (this.refuses) return { failed: this.refuses };
    const fits = stamp === this.kept.stamp;
    if (fits) this.write(text);
    if (this.cut === 'answer') return away;
    return fits ? { stamp: this.kept.stamp } : { conflict: this.kept };
  }
  write(text: string) {
    this.kept = { ...this.kept, text, stamp: String(Number(this.kept.stamp) + 1) };
  }
}

function set() {
  const disk = new Disk();
  const shelf = new Shelf();
  return { disk, shelf, keeper: new PatientKeeper(disk, shelf, 'disk car.toml') };
}

describe('a text on its way', () => {
  it('is held from before it is sent until it is kept', async () => {
    const { disk, shelf, keeper } = set();
    keeper.remember('b', '1');
    expect(shelf.held.get('disk car.toml')).toEqual({ id: 'disk car.toml', text: 'b', stamp: '1' });
    expect(await keeper.save('b', '1')).toEqual({ stamp: '2' });
    expect(shelf.held.size).toBe(0);
    expect(disk.kept.text).toBe('b');
  });

  it('stays where the program is away, and goes another time', async () => {
    const { disk, shelf, keeper } = set();
    disk.cut = 'question';
    keeper.remember('b', '1');
    expect(await keeper.save('b', '1')).toEqual({
      failed:
        'no answer; the text stays in this browser and is sent once the program is there again',
      away: true,
    });
    expect(shelf.held.get('disk car.toml')?.text).toBe('b');
    disk.cut = 'nothing';
    expect(await keeper.save('b', '1')).toEqual({ stamp: '2' });
    expect(shelf.held.size).toBe(0);
  });

  it('stays where the program refuses it', async () => {
    const { disk, shelf, keeper } = set();
    disk.refuses = 'the disk is full';
    keeper.remember('b', '1');
    expect(await keeper.save('b', '1')).toEqual({ failed: 'the disk is full' });
    expect(shelf.held.get('disk car.toml')?.text).toBe('b');
  });

  it('leaves a newer one held, as made from what is kept now', async () => {
    const { disk, shelf, keeper } = set();
    keeper.remember('b', '1');
    const saving = keeper.save('b', '1');
    keeper.remember('c', '1'); // typed meanwhile
    await saving;
    expect(shelf.held.get('disk car.toml')).toEqual({ id: 'disk car.toml', text: 'c', stamp: '2' });
    expect(await keeper.save('c', '2')).toEqual({ stamp: '3' });
    expect(shelf.held.size).toBe(0);
    expect(disk.kept.text).toBe('c');
  });

  it('is no conflict with itself where only the answer was lost', async () => {
    const { disk, shelf, keeper } = set();
    disk.cut = 'answer';
    keeper.remember('b', '1');
    await keeper.save('b', '1');
    expect(disk.kept.text).toBe('b');
    disk.cut = 'nothing';
    expect(await keeper.save('b', '1')).toEqual({ stamp: '2' });
    expect(shelf.held.size).toBe(0);
    // Nor one that was edited further meanwhile.
    disk.cut = 'answer';
    await keeper.save('c', '2');
    disk.cut = 'nothing';
    keeper.remember('d', '2');
    expect(await keeper.save('d', '2')).toEqual({ stamp: '4' });
    expect(disk.kept.text).toBe('d');
    expect(shelf.held.size).toBe(0);
  });

  it('never goes over what somebody else wrote meanwhile', async () => {
    const { disk, shelf, keeper } = set();
    disk.cut = 'answer';
    keeper.remember('b', '1');
    await keeper.save('b', '1');
    disk.cut = 'nothing';
    disk.write('theirs');
    const conflict = { text: 'theirs', stamp: '3', name: 'car.toml' };
    expect(await keeper.save('b', '1')).toEqual({ conflict });
    expect(disk.kept.text).toBe('theirs');
    expect(shelf.held.get('disk car.toml')?.text).toBe('b'); // until it is settled
    // What was ours once and is put back by somebody else is theirs.
    disk.write('b');
    expect(await keeper.save('c', '3')).toEqual({
      conflict: { text: 'b', stamp: '4', name: 'car.toml' },
    });
    keeper.forget(); // theirs is taken
    expect(shelf.held.size).toBe(0);
  });

  it('is sent where the store takes nothing', async () => {
    const full: UnsentStore = {
      unsent: () => Promise.resolve(undefined),
      putUnsent: () => Promise.reject(new Error('quota')),
      dropUnsent: () => Promise.reject(new Error('quota')),
    };
    const disk = new Disk();
    const keeper = new PatientKeeper(disk, full, 'id');
    keeper.remember('b', '1');
    expect(await keeper.save('b', '1')).toEqual({ stamp: '2' });
  });
});

describe('opening', () => {
  it('takes up what was not sent, and forgets what has arrived', async () => {
    const { disk, shelf } = set();
    const begun = { id: 'disk car.toml', keeper: disk, kept: disk.kept, stored: true };
    expect((await patient(shelf, begun)).unsent).toBeUndefined();
    const mine = { id: 'disk car.toml', text: 'b', stamp: '0' };
    shelf.held.set(mine.id, mine);
    shelf.held.set('disk other.toml', { ...mine, id: 'disk other.toml' });
    expect((await patient(shelf, begun)).unsent).toEqual(mine);
    disk.write('b');
    expect((await patient(shelf, { ...begun, kept: disk.kept })).unsent).toBeUndefined();
    expect([...shelf.held.keys()]).toEqual(['disk other.toml']);
  });
});
