import { describe, expect, it } from 'vitest';
import {
  basis,
  boxOf,
  dot,
  dragged,
  halfSize,
  home,
  keyed,
  middle,
  moved,
  viewWords,
  views,
  type Vec,
} from '../../src/scene/orbit';

const close = (a: number[], b: number[]) => a.forEach((x, i) => expect(x).toBeCloseTo(b[i]!, 12));

describe('the eye', () => {
  it('sees the car as a drawing board has it', () => {
    const [behind, side, above] = views.map((v) => basis(v.eye));
    // From behind: the car's left is on the left, its top up.
    close(behind!.right, [0, -1, 0]);
    close(behind!.up, [0, 0, 1]);
    close(behind!.back, [-1, 0, 0]);
    // From its left: its front is on the left.
    close(side!.right, [-1, 0, 0]);
    close(side!.up, [0, 0, 1]);
    close(side!.back, [0, 1, 0]);
    // From above: its front is up.
    close(above!.right, [0, -1, 0]);
    close(above!.up, [1, 0, 0]);
    close(above!.back, [0, 0, 1]);
  });

  it('has three directions square to each other from anywhere', () => {
    for (let turn = 0; turn < 360; turn += 37)
      for (let tilt = -10; tilt <= 90; tilt += 25) {
        const { right, up, back } = basis({ turn, tilt, zoom: 1 });
        for (const d of [right, up, back]) expect(dot(d, d)).toBeCloseTo(1, 12);
        expect(dot(right, up)).toBeCloseTo(0, 12);
        expect(dot(up, back)).toBeCloseTo(0, 12);
        // Right-handed.
        const cross: Vec = [
          right[1] * up[2] - right[2] * up[1],
          right[2] * up[0] - right[0] * up[2],
          right[0] * up[1] - right[1] * up[0],
        ];
        close(cross, back);
      }
  });

  it('follows the hand: what is near goes the way the hand goes', () => {
    const eye = { turn: 20, tilt: 15, zoom: 1 };
    const near = basis(eye).back; // a place between the car and the eye
    const right = basis(dragged(eye, 10, 0));
    expect(dot(near, right.right)).toBeGreaterThan(0);
    const down = basis(dragged(eye, 0, 10));
    expect(dot(near, down.up)).toBeLessThan(0);
  });

  it('goes round, and neither under the floor nor over the top', () => {
    expect(moved(home, 360 * 3 + 5, 0).turn).toBeCloseTo(home.turn + 5, 9);
    expect(moved({ ...home, turn: 5 }, -10, 0).turn).toBeCloseTo(355, 9);
    expect(moved(home, 0, 500).tilt).toBe(90);
    expect(moved(home, 0, -500).tilt).toBe(-10);
    expect(moved(home, 0, 0, 1e9).zoom).toBe(12);
  });

  it('has keys of its own and leaves the others alone', () => {
    expect(keyed(home, 'ArrowLeft')!.turn).toBeLessThan(home.turn);
    expect(keyed(home, 'ArrowDown')!.tilt).toBeGreaterThan(home.tilt);
    expect(keyed(home, '+')!.zoom).toBeGreaterThan(1);
    expect(keyed(keyed(home, '+')!, '-')!.zoom).toBeCloseTo(1, 12);
    expect(keyed({ turn: 1, tilt: 2, zoom: 3 }, 'Home')).toEqual(home);
    expect(keyed(home, 'a')).toBeNull();
    expect(keyed(home, 'Tab')).toBeNull();
  });

  it('fits a box on paper of any shape', () => {
    const box = boxOf([
      [-1000, -700, 0],
      [1000, 700, 600],
    ]);
    expect(middle(box)).toEqual([0, 0, 300]);
    for (const [width, height] of [
      [300, 200],
      [390, 180],
      [100, 400],
    ] as const)
      for (const { eye } of [...views, { eye: home }]) {
        const [x, y] = halfSize(eye, box, width, height);
        expect(x / y).toBeCloseTo(width / height, 9);
        const { right, up } = basis(eye);
        let fills = 0;
        for (const cx of [-1000, 1000])
          for (const cy of [-700, 700])
            for (const cz of [-300, 300]) {
              const across = Math.abs(dot([cx, cy, cz], right)) / x;
              const upwards = Math.abs(dot([cx, cy, cz], up)) / y;
              fills = Math.max(fills, across, upwards);
            }
        expect(fills).toBeGreaterThan(0.9);
        expect(fills).toBeLessThan(1);
      }
  });

  it('says where it looks from', () => {
    expect(views.map((v) => viewWords(v.eye))).toEqual([
      'from behind',
      'from the left',
      'from above',
    ]);
    expect(viewWords(home)).toBe('from behind and left, a little from above');
    expect(viewWords({ turn: 350, tilt: 0, zoom: 1 })).toBe('from behind');
  });
});
