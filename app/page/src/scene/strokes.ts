// From what the core says is where, to the lines of the drawing: each a pair of ends in one list.
// How a spring, a wheel or a doubt is drawn is decided here; where it is, is not.
import type { DrawnCar, DrawnScene } from '../model/contract';
import type { Vec } from './orbit';

// How a line is drawn. As built, as it sits and as corrected differ by it, never by colour alone.
export type Pen =
  | 'floor'
  | 'body'
  | 'wheel'
  | 'wheel dashed'
  | 'wheel heavy'
  | 'plain'
  | 'fine'
  | 'thin dashed'
  | 'heavy'
  | 'heavy fine'
  | 'axis'
  | 'doubt';
export type Strokes = Record<Pen, number[]>;

export const pens: Pen[] = [
  'floor',
  'body',
  'wheel',
  'wheel dashed',
  'wheel heavy',
  'thin dashed',
  'fine',
  'plain',
  'heavy fine',
  'heavy',
  'doubt',
  'axis',
];

const around = 48; // sides of what is drawn for a circle
const coilTurns = 6;
const coilRadius = 32; // mm
const coilSteps = 14; // to a turn

const plus = (a: Vec, b: Vec, by = 1): Vec => [
  a[0] + by * b[0],
  a[1] + by * b[1],
  a[2] + by * b[2],
];
const cross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const long = (a: Vec) => Math.hypot(a[0], a[1], a[2]);
const scaled = (a: Vec, by: number): Vec => [a[0] * by, a[1] * by, a[2] * by];

// Two directions square to `along` and to each other.
export function square(along: Vec): [Vec, Vec] {
  const helper: Vec = Math.abs(along[2]) < 0.9 * long(along) ? [0, 0, 1] : [1, 0, 0];
  const first = cross(along, helper);
  const a = scaled(first, 1 / long(first));
  const second = cross(along, a);
  return [a, scaled(second, 1 / long(second))];
}

function path(into: number[], places: Vec[]): void {
  for (let i = 0; i + 1 < places.length; ++i) into.push(...places[i]!, ...places[i + 1]!);
}

// The ellipse about `centre` through centre + a and centre + b.
export function ring(into: number[], centre: Vec, a: Vec, b: Vec): void {
  const places: Vec[] = [];
  for (let i = 0; i <= around; ++i) {
    const t = (2 * Math.PI * i) / around;
    places.push(plus(plus(centre, a, Math.cos(t)), b, Math.sin(t)));
  }
  path(into, places);
}

export function coil(into: number[], from: Vec, to: Vec): void {
  const along = plus(to, from, -1);
  if (long(along) === 0) return;
  const [a, b] = square(along);
  const places: Vec[] = [from];
  const steps = coilTurns * coilSteps;
  for (let i = 0; i <= steps; ++i) {
    const t = (2 * Math.PI * i) / coilSteps;
    const at = plus(from, along, 0.06 + (0.88 * i) / steps);
    places.push(plus(plus(at, a, coilRadius * Math.cos(t)), b, coilRadius * Math.sin(t)));
  }
  places.push(to);
  path(into, places);
}

const penOf: Record<string, { member: Pen; fine: Pen; wheel: Pen }> = {
  plain: { member: 'plain', fine: 'fine', wheel: 'wheel' },
  'thin dashed': { member: 'thin dashed', fine: 'thin dashed', wheel: 'wheel dashed' },
  heavy: { member: 'heavy', fine: 'heavy fine', wheel: 'wheel heavy' },
};
// What holds the wheel is drawn stronger than what only stands on it.
const holds = new Set(['arm', 'rod', 'strut', 'swing']);

// What of the car is drawn: the other axle would stand behind this one.
export type Part = 'car' | 'front' | 'rear';
const isIn = (part: Part) => (of: { axle: string }) =>
  part === 'car' || of.axle === part || of.axle === '';

function strokeCar(into: Strokes, car: DrawnCar, part: Part, joint: (i: number) => boolean): void {
  const pen = penOf[car.stroke]!;
  for (const line of car.lines.filter(isIn(part))) {
    const places = line.places as Vec[];
    if (line.kind === 'body') {
      // One body, drawn once.
      if (car.stroke === 'plain') path(into.body, places);
    } else if (line.kind === 'spring') {
      coil(into[pen.fine], places[0]!, places[1]!);
    } else {
      path(into[holds.has(line.kind) ? pen.member : pen.fine], places);
    }
  }
  for (const wheel of car.wheels.filter(isIn(part))) {
    const centre = wheel.centre as Vec;
    const spin = wheel.spin as Vec;
    const [a, b] = square(spin);
    const lines = into[pen.wheel];
    // Both edges of the tyre, its tread ahead, behind, above and below, the rim as it is seen from
    // outside, and the axle's stub.
    for (const out of [a, scaled(a, -1), b, scaled(b, -1)]) {
      const tread = plus(centre, out, wheel.radius_mm);
      path(lines, [
        plus(tread, spin, -0.5 * wheel.width_mm),
        plus(tread, spin, 0.5 * wheel.width_mm),
      ]);
    }
    for (const side of [-0.5, 0.5])
      ring(
        lines,
        plus(centre, spin, side * wheel.width_mm),
        scaled(a, wheel.radius_mm),
        scaled(b, wheel.radius_mm),
      );
    ring(
      lines,
      plus(centre, spin, 0.5 * wheel.width_mm),
      scaled(a, wheel.rim_radius_mm),
      scaled(b, wheel.rim_radius_mm),
    );
    path(lines, [
      plus(centre, spin, -0.5 * wheel.width_mm),
      plus(centre, spin, 0.5 * wheel.width_mm),
    ]);
  }
  for (const axis of car.axes.filter(isIn(part))) path(into.axis, axis.places as Vec[]);
  for (const doubt of car.doubts) {
    if (!joint(doubt.joint)) continue;
    const at = car.joints[doubt.joint] as Vec;
    const [a, b, c] = doubt.semi_axes as [Vec, Vec, Vec];
    ring(into.doubt, at, a, b);
    ring(into.doubt, at, b, c);
    ring(into.doubt, at, c, a);
  }
}

// `joint`: whether a joint is of that part, by its order.
export function strokesOf(
  scene: DrawnScene,
  part: Part = 'car',
  joint: (i: number) => boolean = () => true,
): Strokes {
  const into = Object.fromEntries(pens.map((pen) => [pen, [] as number[]])) as Strokes;
  const [x0, x1] = scene.floor_x_mm as [number, number];
  const [y0, y1] = scene.floor_y_mm as [number, number];
  const step = scene.floor_step_mm;
  for (let x = x0; x <= x1 + 1e-6; x += step) into.floor.push(x, y0, 0, x, y1, 0);
  for (let y = y0; y <= y1 + 1e-6; y += step) into.floor.push(x0, y, 0, x1, y, 0);
  for (const car of scene.cars) strokeCar(into, car, part, joint);
  return into;
}

// As the lines of its state: the stronger they are, the larger.
type RollCentre = 'roll centre' | 'roll centre fine' | 'roll centre heavy';
const rollCentreOf: Record<string, RollCentre> = {
  plain: 'roll centre',
  'thin dashed': 'roll centre fine',
  heavy: 'roll centre heavy',
};

// A mark as large on the screen at any zoom.
export interface Mark {
  at: Vec;
  kind: 'joint' | 'lit' | 'picked' | 'contact' | RollCentre;
}

export function marksOf(
  scene: DrawnScene,
  lit: Set<number>,
  picked: number | null,
  part: Part = 'car',
  joint: (i: number) => boolean = () => true,
): Mark[] {
  const marks: Mark[] = [];
  for (const car of scene.cars) {
    for (const { at } of car.roll_centres.filter(isIn(part)))
      marks.push({ at: at as Vec, kind: rollCentreOf[car.stroke]! });
    if (car.stroke !== 'plain') continue;
    for (const wheel of car.wheels.filter(isIn(part)))
      marks.push({ at: wheel.contact as Vec, kind: 'contact' });
    car.joints.forEach((at, i) => {
      if (!joint(i)) return;
      marks.push({
        at: at as Vec,
        kind: i === picked ? 'picked' : lit.has(i) ? 'lit' : 'joint',
      });
    });
  }
  // What is lit lies over the others, and nothing lies under what is larger.
  return marks.sort((a, b) => over(a) - over(b));
}
const layers: Mark['kind'][] = ['roll centre heavy', 'roll centre', 'roll centre fine', 'joint'];
const over = (m: Mark) =>
  m.kind === 'picked' ? 9 : m.kind === 'lit' ? 8 : layers.indexOf(m.kind) + 1;
