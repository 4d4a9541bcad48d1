// The module that emscripten makes of app/wasm/bindings.cpp.
declare module '#core' {
  export interface Core {
    answer(request: string, progress: (share: number) => void): string;
  }
  export default function createCore(given: { wasmBinary: ArrayBuffer }): Promise<Core>;
  export const packed: string; // the module, gzipped, as base64 (see vite.config.ts)
}
