import { svelte } from '@sveltejs/vite-plugin-svelte';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { defineConfig, type Plugin } from 'vite';
import { viteSingleFile } from 'vite-plugin-singlefile';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

// The module inside the core's script, gzipped before it is written as letters: letters pack badly
// afterwards, and the page would be a quarter larger.
const packedCore = (): Plugin => ({
  name: 'packed-core',
  transform(code, id) {
    if (!/trammel_core_page\.js$/.test(id)) return;
    const inside = /data:application\/octet-stream;base64,([A-Za-z0-9+/=]+)/.exec(code);
    if (!inside) throw new Error(`no module in ${id}`);
    const packed = gzipSync(Buffer.from(inside[1]!, 'base64'), { level: 9 }).toString('base64');
    return {
      code: `${code.replace(inside[1]!, '')}\nexport const packed = '${packed}';\n`,
      map: null,
    };
  },
});

// One file: the worker is inlined with the core in it, everything else by the plugin.
export default defineConfig({
  plugins: [svelte(), viteSingleFile({ removeViteModuleLoader: true })],
  resolve: {
    alias: {
      // Where the emscripten build left the core.
      '#core': process.env.TRAMMEL_CORE ?? here('../../build/wasm/trammel_core_page.js'),
      '#cars': here('../../cars'),
    },
  },
  worker: { format: 'iife', plugins: () => [packedCore()] },
  build: { outDir: here('../../build/page'), emptyOutDir: false, target: 'es2022' },
  server: { fs: { allow: [here('../..')] } },
});
