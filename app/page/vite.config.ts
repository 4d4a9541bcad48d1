import { svelte } from '@sveltejs/vite-plugin-svelte';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { viteSingleFile } from 'vite-plugin-singlefile';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

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
  worker: { format: 'iife' },
  build: { outDir: here('../../build/page'), emptyOutDir: false, target: 'es2022' },
  server: { fs: { allow: [here('../..')] } },
});
