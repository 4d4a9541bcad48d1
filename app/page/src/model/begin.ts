// How the page begins: which car, and where it is kept.
import demoText from '#cars/pip-survey.toml?raw';
import exactText from '#cars/pip.toml?raw';
import roadsterText from '#cars/nibbet-survey.toml?raw';
import { BrowserKeeper, DiskKeeper, type Keeper, type Kept } from './keeper';
import type { Store } from './store';
import { patient, type Unsent } from './unsent';

// Invented cars that answer everything.
export const demos = [
  {
    id: 'demo-pip-survey',
    name: 'pip-survey.toml',
    what: 'a hatch, as it was measured',
    text: demoText,
  },
  {
    id: 'demo-pip',
    name: 'pip.toml',
    what: 'the same hatch, its joints written down',
    text: exactText,
  },
  {
    id: 'demo-nibbet-survey',
    name: 'nibbet-survey.toml',
    what: 'a roadster, as it was measured',
    text: roadsterText,
  },
];

export interface Begun {
  id: string; // versions are kept under it
  keeper: Keeper;
  kept: Kept;
  stored: boolean; // it is kept already
  unsent?: Unsent; // what did not reach the keeper the last time
}

// The text of a file, or why it is none.
export function textOf(bytes: Uint8Array): { text: string } | { why: string } {
  if (bytes.length === 0) return { why: 'it is empty' };
  if (bytes.includes(0)) return { why: 'it is no text file' };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes) };
  } catch {
    return { why: 'it is not UTF-8: save it as UTF-8 in your editor' };
  }
}

// The car file of the program that serves the page; null where it serves none, or the page was
// opened from the disk.
export async function fromDisk(protocol: string, disk = new DiskKeeper()): Promise<Begun | null> {
  if (!protocol.startsWith('http')) return null;
  try {
    const kept = await disk.load();
    return kept ? { id: `disk ${kept.name}`, keeper: disk, kept, stored: true } : null;
  } catch {
    return null;
  }
}

// A car of the browser's store.
export async function fromStore(store: Store, id: string): Promise<Begun | null> {
  const car = await store.get(id);
  if (!car) return null;
  const kept = { text: car.text, stamp: String(car.revision), name: car.name };
  return { id, keeper: new BrowserKeeper(store, id, car.name), kept, stored: true };
}

// A text that is not kept yet: it will be once it is edited.
export function fresh(store: Store, id: string, name: string, text: string): Begun {
  const kept = { text, stamp: '0', name };
  return { id, keeper: new BrowserKeeper(store, id, name), kept, stored: false };
}

export async function begin(store: Store, protocol: string): Promise<Begun> {
  const disk = await fromDisk(protocol);
  if (disk) return patient(store, disk);
  const { car } = await store.settings();
  const last = car ? await fromStore(store, car) : null;
  if (last) return last;
  const demo = demos[0]!;
  return (await fromStore(store, demo.id)) ?? fresh(store, demo.id, demo.name, demo.text);
}
