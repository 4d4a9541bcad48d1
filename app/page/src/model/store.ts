// The browser's own store: cars, their named versions, and what the page was set to.
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';
import type { CarStore, StoredCar } from './keeper';
import type { Unsent, UnsentStore } from './unsent';
import type { StartDraft } from './start';

export interface Version {
  id?: number;
  car: string;
  name: string;
  text: string;
  at: number; // ms
}
export interface Settings {
  car?: string; // the one open last
  inch?: boolean;
  shade?: 'light' | 'dark';
  hand?: 'left' | 'right'; // the keys of a card lie under this thumb
  start?: StartDraft; // a car of one's own that is begun and not finished
}

interface Shelves extends DBSchema {
  cars: { key: string; value: StoredCar };
  versions: { key: number; value: Version; indexes: { car: string } };
  settings: { key: string; value: Settings };
  unsent: { key: string; value: Unsent };
}

export class Store implements CarStore, UnsentStore {
  private constructor(private readonly db: IDBPDatabase<Shelves>) {}

  static async open(): Promise<Store> {
    const db = await openDB<Shelves>('trammel', 2, {
      upgrade(db, was) {
        if (was < 1) {
          db.createObjectStore('cars', { keyPath: 'id' });
          const versions = db.createObjectStore('versions', { keyPath: 'id', autoIncrement: true });
          versions.createIndex('car', 'car');
          db.createObjectStore('settings');
        }
        if (was < 2) db.createObjectStore('unsent', { keyPath: 'id' });
      },
    });
    return new Store(db);
  }

  get(id: string): Promise<StoredCar | undefined> {
    return this.db.get('cars', id);
  }

  async putIf(car: StoredCar, revision: number): Promise<StoredCar | null> {
    const change = this.db.transaction('cars', 'readwrite');
    const there = await change.store.get(car.id);
    if ((there?.revision ?? 0) !== revision) {
      await change.done;
      return there ?? null;
    }
    await change.store.put(car);
    await change.done;
    return null;
  }

  async cars(): Promise<StoredCar[]> {
    const all = await this.db.getAll('cars');
    return all.sort((a, b) => b.saved - a.saved);
  }

  forget(id: string): Promise<void> {
    return this.db.delete('cars', id);
  }

  async versions(car: string): Promise<Version[]> {
    const all = await this.db.getAllFromIndex('versions', 'car', car);
    return all.sort((a, b) => b.at - a.at);
  }

  async addVersion(version: Version): Promise<void> {
    await this.db.add('versions', version);
  }

  dropVersion(id: number): Promise<void> {
    return this.db.delete('versions', id);
  }

  unsent(id: string): Promise<Unsent | undefined> {
    return this.db.get('unsent', id);
  }

  async putUnsent(unsent: Unsent): Promise<void> {
    await this.db.put('unsent', unsent);
  }

  dropUnsent(id: string): Promise<void> {
    return this.db.delete('unsent', id);
  }

  async settings(): Promise<Settings> {
    return (await this.db.get('settings', 'page')) ?? {};
  }

  async set(settings: Settings): Promise<void> {
    await this.db.put('settings', settings, 'page');
  }
}
