// The core, beside the page: it works out one request after another.
import createCore from '#core';
import type { Came, Post } from './model/engine';

const core = createCore();
const say = (came: Came) => self.postMessage(came);

self.onmessage = async ({ data }: MessageEvent<Post>) => {
  try {
    const { answer } = await core;
    say({
      id: data.id,
      answer: answer(data.request, (share) => say({ id: data.id, progress: share })),
    });
  } catch (error) {
    // Out of memory or stack: what is left of the worker cannot be trusted.
    say({ id: data.id, crashed: String(error) });
  }
};
