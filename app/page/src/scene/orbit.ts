// Where the drawing is seen from. Parallel rays, as on a drawing board: what is equally long is
// drawn equally long. Degrees; the eye's place says nothing of the car itself.

export interface Eye {
  turn: number; // round the car: 0 from behind, 90 from its left
  tilt: number; // above the floor: 90 from straight above
  zoom: number; // 1: what is shown fits
}

export type Vec = [number, number, number];

export const home: Eye = { turn: 35, tilt: 22, zoom: 1 };
export const views: { name: string; eye: Eye }[] = [
  { name: 'From behind', eye: { turn: 0, tilt: 0, zoom: 1 } },
  { name: 'From the side', eye: { turn: 90, tilt: 0, zoom: 1 } },
  { name: 'From above', eye: { turn: 0, tilt: 90, zoom: 1 } },
];

const perPixel = 0.4;
const perKey = 10;
const zoomPerKey = 1.25;
const lowest = -10;
const zooms: [number, number] = [0.5, 12];

const clamped = (x: number, low: number, high: number) => Math.min(high, Math.max(low, x));

export function moved(eye: Eye, turn: number, tilt: number, zoom = 1): Eye {
  const round = (eye.turn + turn) % 360;
  return {
    turn: round < 0 ? round + 360 : round,
    tilt: clamped(eye.tilt + tilt, lowest, 90),
    zoom: clamped(eye.zoom * zoom, zooms[0], zooms[1]),
  };
}

// What is near follows the hand.
export const dragged = (eye: Eye, right: number, down: number): Eye =>
  moved(eye, right * perPixel, down * perPixel);

// After a key; null for one that is none of the drawing's.
export function keyed(eye: Eye, key: string): Eye | null {
  switch (key) {
    case 'ArrowLeft':
      return moved(eye, -perKey, 0);
    case 'ArrowRight':
      return moved(eye, perKey, 0);
    case 'ArrowUp':
      return moved(eye, 0, -perKey);
    case 'ArrowDown':
      return moved(eye, 0, perKey);
    case '+':
    case '=':
      return moved(eye, 0, 0, zoomPerKey);
    case '-':
      return moved(eye, 0, 0, 1 / zoomPerKey);
    case 'Home':
      return home;
    default:
      return null;
  }
}

// Unit directions of the picture: to the right, up, and towards the eye.
export function basis(eye: Eye): { right: Vec; up: Vec; back: Vec } {
  const t = (eye.turn * Math.PI) / 180;
  const e = (eye.tilt * Math.PI) / 180;
  const [ct, st, ce, se] = [Math.cos(t), Math.sin(t), Math.cos(e), Math.sin(e)];
  return { right: [-st, -ct, 0], up: [se * ct, -se * st, ce], back: [-ct * ce, st * ce, se] };
}

export const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

// A box that the picture is to show: its least and largest corner.
export interface Box {
  low: Vec;
  high: Vec;
}

export function boxOf(points: Vec[]): Box {
  const low: Vec = [Infinity, Infinity, Infinity];
  const high: Vec = [-Infinity, -Infinity, -Infinity];
  for (const p of points)
    for (const i of [0, 1, 2] as const) {
      low[i] = Math.min(low[i], p[i]);
      high[i] = Math.max(high[i], p[i]);
    }
  return { low, high };
}

export const middle = (box: Box): Vec =>
  [0, 1, 2].map((i) => (box.low[i as 0]! + box.high[i as 0]!) / 2) as Vec;

// How many millimetres of the car stand on half the picture's width and height, so that the box
// fits with a little paper around it.
export function halfSize(eye: Eye, box: Box, width: number, height: number): [number, number] {
  const { right, up } = basis(eye);
  const half = [0, 1, 2].map((i) => (box.high[i as 0]! - box.low[i as 0]!) / 2) as Vec;
  const reach = (d: Vec) =>
    Math.abs(d[0]) * half[0] + Math.abs(d[1]) * half[1] + Math.abs(d[2]) * half[2];
  const around = 1.06;
  const perPixelNow = (2 * around * Math.max(reach(right) / width, reach(up) / height)) / eye.zoom;
  return [(perPixelNow * width) / 2, (perPixelNow * height) / 2];
}

// The view in words: "from behind, left and above".
export function viewWords(eye: Eye): string {
  if (eye.tilt > 75) return 'from above';
  const round = Math.round(eye.turn / 45) % 8;
  const from = [
    'from behind',
    'from behind and left',
    'from the left',
    'from ahead and left',
    'from ahead',
    'from ahead and right',
    'from the right',
    'from behind and right',
  ][round]!;
  return eye.tilt > 10 ? `${from}, a little from above` : from;
}
