// The drawing on its canvas: the only place that knows three.js. It is drawn when something has
// changed and at no other time.
import {
  BufferAttribute,
  BufferGeometry,
  Color,
  ColorManagement,
  LinearSRGBColorSpace,
  OrthographicCamera,
  Points,
  Scene,
  ShaderMaterial,
  Vector3,
  WebGLRenderer,
  type InterleavedBufferAttribute,
} from 'three';
import { LineMaterial } from 'three/examples/jsm/lines/LineMaterial.js';
import { LineSegments2 } from 'three/examples/jsm/lines/LineSegments2.js';
import { LineSegmentsGeometry } from 'three/examples/jsm/lines/LineSegmentsGeometry.js';
import { basis, dot, halfSize, middle, type Box, type Eye, type Vec } from './orbit';
import { pens, type Mark, type Pen, type Strokes } from './strokes';

export interface Palette {
  paper: string;
  ink: string;
  soft: string;
  faint: string;
  work: string;
}
export const onPaper: Palette = {
  paper: '#ffffff',
  ink: '#000000',
  soft: '#444444',
  faint: '#bbbbbb',
  work: '#000000',
};

// CSS pixels: width, dash and gap of each pen, and which of the colours.
interface Nib {
  width: number;
  dash?: [number, number];
  colour: keyof Palette;
}
const nibs: Record<Pen, Nib> = {
  floor: { width: 1, colour: 'faint' },
  body: { width: 1.2, dash: [14, 5], colour: 'soft' },
  wheel: { width: 1.2, colour: 'soft' },
  'wheel dashed': { width: 1, dash: [4, 4], colour: 'soft' },
  'wheel heavy': { width: 1.2, colour: 'soft' },
  'thin dashed': { width: 1.4, dash: [6, 4], colour: 'ink' },
  fine: { width: 1.4, colour: 'ink' },
  plain: { width: 2.4, colour: 'ink' },
  'heavy fine': { width: 2.2, colour: 'ink' },
  heavy: { width: 4.6, colour: 'ink' },
  doubt: { width: 1.1, colour: 'soft' },
  axis: { width: 1.4, dash: [18, 4], colour: 'ink' },
};

// CSS pixels across, and how it is filled: 0 paper, 1 ink, 2 colour, 3 quartered.
const marks: Record<Mark['kind'], { size: number; fill: number }> = {
  contact: { size: 5, fill: 1 },
  joint: { size: 8, fill: 0 },
  'roll centre fine': { size: 10, fill: 3 },
  'roll centre': { size: 14, fill: 3 },
  'roll centre heavy': { size: 20, fill: 3 },
  lit: { size: 13, fill: 2 },
  picked: { size: 18, fill: 2 },
};

const far = 20000; // mm from the middle to the eye
const finest = 1; // CSS pixels
// From where a millimetre has so many pixels a pen has its whole width; half of it at least.
const wholeWidthFrom = 0.34;
const finerAt = (pixelsPerMm: number) => Math.min(1, Math.max(0.5, pixelsPerMm / wholeWidthFrom));

// One pen's lines. Where there are as many as before, as while the car is driven, they are written
// over the old ones.
class PenLines {
  readonly lines: LineSegments2;
  private readonly material: LineMaterial;
  private count = -1;

  constructor(private readonly nib: Nib) {
    this.material = new LineMaterial({
      linewidth: nib.width,
      dashed: nib.dash !== undefined,
      depthTest: false,
      depthWrite: false,
      transparent: true,
    });
    if (nib.dash) {
      this.material.dashSize = nib.dash[0];
      this.material.gapSize = nib.dash[1];
    }
    this.lines = new LineSegments2(new LineSegmentsGeometry(), this.material);
    this.lines.frustumCulled = false;
    this.lines.visible = false;
  }

  colour(palette: Palette): void {
    this.material.color.set(palette[this.nib.colour]);
  }

  // Dashes are as long on the screen at any zoom; pens are finer where everything is small.
  scale(pixelsPerMm: number, finer: number): void {
    this.material.dashScale = pixelsPerMm;
    this.material.linewidth = Math.max(finest, this.nib.width * finer);
  }

  write(ends: number[]): void {
    this.lines.visible = ends.length > 0;
    if (ends.length === 0) return;
    if (ends.length !== this.count) {
      this.lines.geometry.dispose();
      this.lines.geometry = new LineSegmentsGeometry();
      this.lines.geometry.setPositions(ends);
      if (this.nib.dash) this.lines.computeLineDistances();
      this.count = ends.length;
      return;
    }
    const over = (attribute: string, values: ArrayLike<number>) => {
      const { data } = this.lines.geometry.getAttribute(attribute) as InterleavedBufferAttribute;
      data.array.set(values);
      data.needsUpdate = true;
    };
    over('instanceStart', ends);
    if (!this.nib.dash) return;
    const along = new Float32Array(ends.length / 3);
    for (let i = 0; i < along.length; i += 2) {
      const at = 3 * i;
      const start = i === 0 ? 0 : along[i - 1]!;
      along[i] = start;
      along[i + 1] =
        start +
        Math.hypot(
          ends[at + 3]! - ends[at]!,
          ends[at + 4]! - ends[at + 1]!,
          ends[at + 5]! - ends[at + 2]!,
        );
    }
    over('instanceDistanceStart', along);
  }

  dispose(): void {
    this.lines.geometry.dispose();
    this.material.dispose();
  }
}

export class CarDrawing {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new OrthographicCamera();
  private readonly penLines: Record<Pen, PenLines>;
  private readonly marks: Points<BufferGeometry, ShaderMaterial>;
  private places: (Vec | null)[] = []; // of the joints, to be picked; null: not drawn
  private width = 1;
  private height = 1;
  private ratio = 1;
  private asked = 0;

  // Null where the browser gives no context to draw with.
  static on(canvas: HTMLCanvasElement): CarDrawing | null {
    // Kept after it is drawn, so that it prints.
    const context = canvas.getContext('webgl2', {
      alpha: true,
      antialias: true,
      depth: false,
      stencil: false,
      preserveDrawingBuffer: true,
      powerPreference: 'low-power',
    });
    if (!context) return null;
    try {
      return new CarDrawing(canvas, context);
    } catch {
      return null;
    }
  }

  private constructor(
    private readonly canvas: HTMLCanvasElement,
    context: WebGL2RenderingContext,
  ) {
    // Colours are the page's own, as they stand.
    ColorManagement.enabled = false;
    this.renderer = new WebGLRenderer({ canvas, context, alpha: true, depth: false });
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.renderer.setClearColor(0x000000, 0);
    const penLines = {} as Record<Pen, PenLines>;
    pens.forEach((pen, order) => {
      penLines[pen] = new PenLines(nibs[pen]);
      penLines[pen].lines.renderOrder = order;
      this.scene.add(penLines[pen].lines);
    });
    this.penLines = penLines;
    this.marks = new Points(
      new BufferGeometry(),
      new ShaderMaterial({
        uniforms: {
          ratio: { value: 1 },
          finer: { value: 1 },
          paper: { value: new Color() },
          ink: { value: new Color() },
          work: { value: new Color() },
        },
        vertexShader: `
          attribute float size, fill;
          uniform float ratio, finer;
          varying float vFill, vSize;
          void main() {
            gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
            vSize = size * finer * ratio;
            gl_PointSize = vSize;
            vFill = fill;
          }`,
        fragmentShader: `
          uniform float ratio;
          uniform vec3 paper, ink, work;
          varying float vFill, vSize;
          void main() {
            vec2 p = (gl_PointCoord - 0.5) * vSize;
            float r = length(p), edge = 0.5 * vSize;
            float cover = clamp(edge - r, 0.0, 1.0);
            if (cover <= 0.0) discard;
            vec3 inside = vFill < 0.5 ? paper : vFill < 1.5 ? ink : vFill < 2.5 ? work
              : (p.x * p.y > 0.0 ? ink : paper);
            float rim = clamp(r - (edge - 1.6 * ratio) + 0.5, 0.0, 1.0);
            gl_FragColor = vec4(mix(inside, ink, rim), cover);
          }`,
        depthTest: false,
        depthWrite: false,
        transparent: true,
      }),
    );
    this.marks.frustumCulled = false;
    this.marks.renderOrder = pens.length;
    this.scene.add(this.marks);
  }

  palette(palette: Palette): void {
    for (const pen of pens) this.penLines[pen].colour(palette);
    const { paper, ink, work } = this.marks.material.uniforms;
    paper!.value.set(palette.paper);
    ink!.value.set(palette.ink);
    work!.value.set(palette.work);
    this.ask();
  }

  strokes(strokes: Strokes): void {
    for (const pen of pens) this.penLines[pen].write(strokes[pen]);
    this.ask();
  }

  // `joints`: what can be picked, by their order.
  mark(all: Mark[], joints: (Vec | null)[]): void {
    this.places = joints;
    const { geometry } = this.marks;
    const of = (values: number[], size: number, name: string) => {
      const old = geometry.getAttribute(name) as BufferAttribute | undefined;
      if (old && old.array.length === values.length) {
        old.array.set(values);
        old.needsUpdate = true;
      } else {
        geometry.setAttribute(name, new BufferAttribute(new Float32Array(values), size));
      }
    };
    const before = geometry.getAttribute('size') as BufferAttribute | undefined;
    if (before && before.count !== all.length) geometry.dispose();
    of(
      all.flatMap((m) => m.at),
      3,
      'position',
    );
    of(
      all.map((m) => marks[m.kind].size),
      1,
      'size',
    );
    of(
      all.map((m) => marks[m.kind].fill),
      1,
      'fill',
    );
    geometry.setDrawRange(0, all.length);
    this.ask();
  }

  look(eye: Eye, box: Box, at: Vec = middle(box)): void {
    const { right, up, back } = basis(eye);
    const [x, y] = halfSize(eye, box, this.width, this.height);
    this.camera.left = -x;
    this.camera.right = x;
    this.camera.top = y;
    this.camera.bottom = -y;
    this.camera.near = 0;
    this.camera.far = 2 * far;
    this.camera.position.set(at[0] + far * back[0], at[1] + far * back[1], at[2] + far * back[2]);
    this.camera.matrixAutoUpdate = false;
    this.camera.matrix
      .makeBasis(new Vector3(...right), new Vector3(...up), new Vector3(...back))
      .setPosition(this.camera.position);
    this.camera.matrixWorldNeedsUpdate = true;
    this.camera.updateProjectionMatrix();
    const perMm = this.width / (2 * x);
    for (const pen of pens) this.penLines[pen].scale(perMm, finerAt(perMm));
    this.marks.material.uniforms.finer!.value = Math.max(0.7, finerAt(perMm));
    this.ask();
  }

  // In CSS pixels; true where that is another size.
  resize(width: number, height: number, ratio: number): boolean {
    if (width === this.width && height === this.height && ratio === this.ratio) return false;
    this.width = Math.max(1, width);
    this.height = Math.max(1, height);
    this.ratio = ratio;
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(this.width, this.height, false);
    this.marks.material.uniforms.ratio!.value = ratio;
    this.ask();
    return true;
  }

  // The joint nearest to a place on the canvas, within a finger's reach; null where none is.
  pick(x: number, y: number, eye: Eye, reach: number): number | null {
    const { right, up } = basis(eye);
    const centre: Vec = [this.camera.position.x, this.camera.position.y, this.camera.position.z];
    const perMm = this.width / (this.camera.right - this.camera.left);
    let best: number | null = null;
    let nearest = reach;
    this.places.forEach((p, i) => {
      if (!p) return;
      const from: Vec = [p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]];
      const off = Math.hypot(
        this.width / 2 + perMm * dot(from, right) - x,
        this.height / 2 - perMm * dot(from, up) - y,
      );
      if (off < nearest) {
        nearest = off;
        best = i;
      }
    });
    return best;
  }

  // Draws it at the next frame, once, however often it was asked for.
  ask(): void {
    if (this.asked === 0)
      this.asked = requestAnimationFrame(() => {
        this.asked = 0;
        this.draw();
      });
  }

  // At once: before paper, which waits for no frame.
  draw(): void {
    if (!this.renderer.getContext().isContextLost()) this.renderer.render(this.scene, this.camera);
  }

  dispose(): void {
    cancelAnimationFrame(this.asked);
    for (const pen of pens) this.penLines[pen].dispose();
    this.marks.geometry.dispose();
    this.marks.material.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
    this.canvas.width = this.canvas.height = 0;
  }
}
