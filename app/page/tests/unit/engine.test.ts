import { describe, expect, it } from 'vitest';
import {
  Crashed,
  Engine,
  Failed,
  Stopped,
  type Came,
  type Post,
  type Working,
} from '../../src/model/engine';

// A worker that does what the test says.
class Hand implements Working {
  posts: Post[] = [];
  dead = false;
  onmessage: ((event: { data: Came }) => void) | null = null;
  onerror: ((event: { message?: string }) => void) | null = null;
  postMessage(post: Post) {
    this.posts.push(post);
  }
  terminate() {
    this.dead = true;
  }
  say(came: Omit<Came, 'id'> & { answer?: string; crashed?: string; progress?: number }) {
    this.onmessage?.({ data: { ...came, id: this.posts.at(-1)!.id } as Came });
  }
}

function engine() {
  const hands: Hand[] = [];
  const it = new Engine(() => {
    const hand = new Hand();
    hands.push(hand);
    return hand;
  });
  return { it, hands };
}
const change = { text: 'a', path: 'b', typed: 'c' };

describe('engine', () => {
  it('asks one question at a time, in order', async () => {
    const { it: engine_, hands } = engine();
    const first = engine_.ask('change', change);
    const second = engine_.ask('change', { ...change, typed: 'd' });
    expect(hands[0]!.posts).toHaveLength(1);
    expect(JSON.parse(hands[0]!.posts[0]!.request)).toEqual({ kind: 'change', ...change });
    hands[0]!.say({ answer: '{"reply":{"text":"1","faults":[]}}' });
    expect((await first).text).toBe('1');
    expect(JSON.parse(hands[0]!.posts[1]!.request).typed).toBe('d');
    hands[0]!.say({ answer: '{"reply":{"text":"2","faults":[]}}' });
    expect((await second).text).toBe('2');
    expect(engine_.busy).toBe(false);
    expect(hands).toHaveLength(1);
  });

  it('passes progress on, and a refusal as its reason', async () => {
    const { it: engine_, hands } = engine();
    const shares: number[] = [];
    const asked = engine_.ask('rank', { text: '', inch: false }, (share) => shares.push(share));
    hands[0]!.say({ progress: 0.25 });
    hands[0]!.say({ progress: 0.5 });
    hands[0]!.say({ answer: '{"failed":"no such thing"}' });
    await expect(asked).rejects.toThrow(Failed);
    await expect(asked).rejects.toThrow('no such thing');
    expect(shares).toEqual([0.25, 0.5]);
  });

  it('replaces a worker that crashed, and says so to everybody who waited', async () => {
    const { it: engine_, hands } = engine();
    const first = engine_.ask('change', change);
    const second = engine_.ask('change', change);
    hands[0]!.say({ crashed: 'out of memory' });
    await expect(first).rejects.toThrow(Crashed);
    await expect(second).rejects.toThrow('out of memory');
    expect(hands[0]!.dead).toBe(true);
    const third = engine_.ask('change', change);
    expect(hands).toHaveLength(2);
    hands[1]!.say({ answer: '{"reply":{"text":"3","faults":[]}}' });
    expect((await third).text).toBe('3');
    // What the dead one still says is nobody's.
    hands[0]!.say({ answer: '{"reply":{"text":"x","faults":[]}}' });
  });

  it('stops by ending the worker', async () => {
    const { it: engine_, hands } = engine();
    engine_.stop(); // nothing runs: nothing happens
    expect(hands).toHaveLength(0);
    const asked = engine_.ask('rank', { text: '', inch: false });
    engine_.stop();
    await expect(asked).rejects.toThrow(Stopped);
    expect(hands[0]!.dead).toBe(true);
    expect(engine_.busy).toBe(false);
  });

  it('survives a worker that cannot even be started', async () => {
    const engine_ = new Engine(() => {
      throw new Error('no workers here');
    });
    await expect(engine_.ask('change', change)).rejects.toThrow('no workers here');
  });
});
