import { describe, expect, it } from 'vitest';
import type { DrawnCar, DrawnScene } from '../../src/model/contract';
import { coil, marksOf, pens, ring, square, strokesOf } from '../../src/scene/strokes';
import type { Vec } from '../../src/scene/orbit';

const car = (stroke: string): DrawnCar => ({
  name: stroke,
  stroke,
  words: '',
  joints: [
    [0, 700, 300],
    [0, 650, 180],
  ],
  lines: [
    {
      axle: 'front',
      kind: 'arm',
      places: [
        [100, 300, 200],
        [0, 650, 180],
        [-100, 300, 200],
        [100, 300, 200],
      ],
    },
    {
      axle: 'front',
      kind: 'spring',
      places: [
        [0, 500, 600],
        [0, 600, 300],
      ],
    },
    {
      axle: '',
      kind: 'body',
      places: [
        [0, 0, 300],
        [-2400, 0, 300],
      ],
    },
  ],
  wheels: [
    {
      axle: 'front',
      centre: [0, 700, 300],
      spin: [0, 1, 0],
      contact: [0, 700, 0],
      radius_mm: 300,
      width_mm: 180,
      rim_radius_mm: 190,
    },
  ],
  axes: [
    {
      axle: 'front',
      kind: 'roll centre',
      places: [
        [0, 700, 0],
        [0, 0, 60],
      ],
    },
  ],
  roll_centres: [{ axle: 'front', at: [0, 0, 60] }],
  doubts: [
    {
      joint: 1,
      semi_axes: [
        [10, 0, 0],
        [0, 20, 0],
        [0, 0, 30],
      ],
    },
  ],
});
const scene = (...cars: DrawnCar[]): DrawnScene => ({
  why: '',
  controls: [],
  cars,
  floor_x_mm: [-500, 500],
  floor_y_mm: [-250, 250],
  floor_step_mm: 250,
  notes: [],
});
const places = (ends: number[]): Vec[] =>
  Array.from({ length: ends.length / 3 }, (_, i) => ends.slice(3 * i, 3 * i + 3) as Vec);

describe('the lines of the drawing', () => {
  it('tells the states apart by their pen', () => {
    const all = strokesOf(scene(car('plain'), car('thin dashed'), car('heavy')));
    // An arm is a triangle: three lines of two ends.
    for (const pen of ['plain', 'heavy'] as const) expect(all[pen]).toHaveLength(3 * 6);
    expect(all['thin dashed'].length).toBeGreaterThan(3 * 6); // its spring as well
    expect(all.fine).toEqual(all['heavy fine']);
    expect(all.body).toHaveLength(6); // one body
    expect(places(all.plain)[1]).toEqual([0, 650, 180]);
    // Every list is whole lines.
    for (const pen of pens) expect(all[pen].length % 6).toBe(0);
    // As many in every frame, so that they can be written over.
    const again = strokesOf(scene(car('plain'), car('thin dashed'), car('heavy')));
    for (const pen of pens) expect(again[pen]).toHaveLength(all[pen].length);
  });

  it('draws a wheel as rings about its axle, as far out as its radius', () => {
    for (const p of places(strokesOf(scene(car('plain'))).wheel)) {
      const out = Math.hypot(p[0], p[2] - 300);
      expect([0, 190, 300].some((r) => Math.abs(r - out) < 1e-9)).toBe(true);
      expect(Math.abs(Math.abs(p[1] - 700) - 90)).toBeLessThan(1e-9);
    }
  });

  it('draws a doubt as the three ellipses of its axes', () => {
    for (const p of places(strokesOf(scene(car('plain'))).doubt)) {
      const [x, y, z] = [p[0] / 10, (p[1] - 650) / 20, (p[2] - 180) / 30];
      expect(x * x + y * y + z * z).toBeCloseTo(1, 9);
    }
  });

  it('rules the floor in whole steps', () => {
    const lines = strokesOf(scene()).floor;
    expect(lines).toHaveLength((5 + 3) * 6);
    expect(places(lines).every((p) => p[2] === 0)).toBe(true);
  });

  it('winds a coil from one end to the other, also upright', () => {
    for (const to of [
      [0, 0, 300],
      [200, 100, 50],
    ] as Vec[]) {
      const ends: number[] = [];
      coil(ends, [0, 0, 0], to);
      const all = places(ends);
      expect(all[0]).toEqual([0, 0, 0]);
      expect(all.at(-1)).toEqual(to);
      expect(all.every((p) => p.every(Number.isFinite))).toBe(true);
    }
    const none: number[] = [];
    coil(none, [1, 2, 3], [1, 2, 3]);
    expect(none).toHaveLength(0);
  });

  it('finds two directions square to any other', () => {
    for (const along of [
      [0, 0, 1],
      [0, 0, -5],
      [1, 2, 3],
      [0, 1, 0],
    ] as Vec[]) {
      const [a, b] = square(along);
      const dot = (u: Vec, v: Vec) => u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
      for (const d of [a, b]) {
        expect(dot(d, d)).toBeCloseTo(1, 12);
        expect(dot(d, along)).toBeCloseTo(0, 12);
      }
      expect(dot(a, b)).toBeCloseTo(0, 12);
    }
  });

  it('leaves out the axle that is not shown, and never the body', () => {
    const rear = strokesOf(scene(car('plain')), 'rear', () => false);
    for (const pen of ['plain', 'fine', 'wheel', 'axis', 'doubt'] as const)
      expect(rear[pen]).toHaveLength(0);
    expect(rear.body).toHaveLength(6);
    expect(strokesOf(scene(car('plain')), 'front')).toEqual(strokesOf(scene(car('plain'))));
    expect(marksOf(scene(car('plain')), new Set(), null, 'rear', () => false)).toEqual([]);
  });

  it('closes a ring', () => {
    const ends: number[] = [];
    ring(ends, [1, 1, 1], [2, 0, 0], [0, 2, 0]);
    const all = places(ends);
    all[0]!.forEach((x, i) => expect(x).toBeCloseTo(all.at(-1)![i]!, 9));
  });

  it('marks joints of the car as it sits, the lit ones above', () => {
    const all = marksOf(scene(car('plain'), car('heavy')), new Set([0]), 1);
    const kinds = all.map((m) => m.kind);
    expect(kinds.filter((k) => k.startsWith('roll centre'))).toEqual([
      'roll centre heavy',
      'roll centre',
    ]);
    expect(kinds.slice(-2)).toEqual(['lit', 'picked']);
    expect(all.at(-1)!.at).toEqual([0, 650, 180]);
    expect(kinds).toContain('contact');
  });
});
