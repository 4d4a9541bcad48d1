// The module that emscripten makes of app/wasm/bindings.cpp.
declare module '#core' {
  export interface Core {
    answer(request: string, progress: (share: number) => void): string;
  }
  export default function createCore(): Promise<Core>;
}
