// Questions to the core in its worker: one at a time in order, each with its own answer. A worker
// that crashed is started anew; so is one that is told to stop, for nothing else stops a sum.
import type { Contract, Kind } from './contract';

export interface Post {
  id: number;
  request: string;
}
export type Came =
  | { id: number; progress: number }
  | { id: number; answer: string }
  | { id: number; crashed: string };

// What the engine needs of a worker.
export interface Working {
  postMessage(post: Post): void;
  terminate(): void;
  onmessage: ((event: { data: Came }) => void) | null;
  onerror: ((event: { message?: string }) => void) | null;
}

// The core refused a request, or said that something of its own went wrong.
export class Failed extends Error {}
// The worker died over it.
export class Crashed extends Error {}
// Somebody stopped it, or something newer took its place.
export class Stopped extends Error {}

interface Waiting {
  post: Post;
  resolve: (reply: unknown) => void;
  reject: (why: Error) => void;
  progress?: ((share: number) => void) | undefined;
}

export class Engine {
  private worker: Working | null = null;
  private waiting: Waiting[] = [];
  private next = 1;

  constructor(private readonly start: () => Working) {}

  get busy(): boolean {
    return this.waiting.length > 0;
  }

  ask<K extends Kind>(
    kind: K,
    ask: Contract[K]['ask'],
    progress?: (share: number) => void,
  ): Promise<Contract[K]['reply']> {
    return new Promise((resolve, reject) => {
      const post = { id: this.next++, request: JSON.stringify({ kind, ...ask }) };
      this.waiting.push({ post, resolve: resolve as (reply: unknown) => void, reject, progress });
      if (this.waiting.length === 1) this.send();
    });
  }

  // Ends whatever runs and waits; the next question starts a fresh worker.
  stop(): void {
    if (!this.busy) return;
    this.discard(new Stopped('stopped'));
  }

  private send(): void {
    const first = this.waiting[0];
    if (!first) return;
    try {
      this.worker ??= this.hire();
      this.worker.postMessage(first.post);
    } catch (error) {
      this.discard(new Crashed(String(error)));
    }
  }

  private hire(): Working {
    const worker = this.start();
    worker.onmessage = ({ data }) => {
      if (worker === this.worker) this.came(data);
    };
    worker.onerror = (event) => {
      if (worker === this.worker) this.discard(new Crashed(event.message ?? 'the worker died'));
    };
    return worker;
  }

  private came(data: Came): void {
    const first = this.waiting[0];
    if (!first || first.post.id !== data.id) return;
    if ('progress' in data) {
      first.progress?.(data.progress);
      return;
    }
    if ('crashed' in data) {
      this.discard(new Crashed(data.crashed));
      return;
    }
    this.waiting.shift();
    const answer = JSON.parse(data.answer) as { reply?: unknown; failed?: string };
    if (answer.failed === undefined) first.resolve(answer.reply);
    else first.reject(new Failed(answer.failed));
    this.send();
  }

  private discard(why: Error): void {
    this.worker?.terminate();
    this.worker = null;
    const all = this.waiting;
    this.waiting = [];
    for (const one of all) one.reject(why);
  }
}
