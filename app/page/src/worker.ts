// The core, beside the page: it works out one request after another.
import createCore, { packed } from '#core';
import type { Came, Post } from './model/engine';

// The module travels gzipped.
async function unpacked(): Promise<ArrayBuffer> {
  const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
  const module = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Response(module).arrayBuffer();
}

const core = unpacked().then((wasmBinary) => createCore({ wasmBinary }));
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
