/** The margin map as a picture under the plan: five tints with contour lines, strokes along the least noticed walk. */
import ImageCanvasSource from 'ol/source/ImageCanvas';
import type { Extent } from 'ol/extent';
import { NO_FLOOR, UNSEEN } from '../api/live';
import type { MarginMap } from '../api/live';
import { MARGIN_COLOURS, MARGIN_STEPS_DB } from './marginScale';

const COLOURS = MARGIN_COLOURS.map((c) => [1, 3, 5].map((n) => parseInt(c.slice(n, n + 2), 16)));
/** Picture points along a cell, while a device is in hand and at rest; between the middles of cells the margin is
 * taken to run evenly. */
const ROUGH = 3;
const FINE = 7;
const FLOOR_DB = -24;

export class MarginPicture {
  readonly source: ImageCanvasSource;
  private map: MarginMap | null = null;
  private cells: HTMLCanvasElement | null = null;
  private readonly onPainted: (n: number) => void;

  constructor(onPainted: (n: number) => void) {
    this.onPainted = onPainted;
    this.source = new ImageCanvasSource({
      canvasFunction: (extent, _resolution, _ratio, size) => this.paint(extent, size as [number, number]),
      ratio: 1,
      interpolate: false,
    });
  }

  show(map: MarginMap | null): void {
    this.map = map;
    this.cells = map ? tinted(map) : null;
    this.source.changed();
  }

  private paint(extent: Extent, size: [number, number]): HTMLCanvasElement {
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [Math.round(size[0]), Math.round(size[1])];
    const pen = canvas.getContext('2d');
    const map = this.map;
    if (!pen || !map || !this.cells) return canvas;
    const scale = canvas.width / ((extent[2] as number) - (extent[0] as number));
    const x = (map.x0_m - (extent[0] as number)) * scale;
    const y = ((extent[3] as number) - (map.y0_m + map.ny * map.step_m)) * scale;
    const [w, h] = [map.nx * map.step_m * scale, map.ny * map.step_m * scale];
    pen.drawImage(this.cells, x, y, w, h);
    if (!map.draft) strokes(pen, map, x, y + h, map.step_m * scale);
    this.onPainted(map.n);
    return canvas;
  }
}

/** Short strokes along the direction of walking least likely to be noticed. */
function strokes(pen: CanvasRenderingContext2D, map: MarginMap, x: number, y: number, step: number): void {
  const every = Math.max(1, Math.round(32 / step));
  pen.beginPath();
  for (let j = every >> 1; j < map.ny; j += every) {
    for (let i = every >> 1; i < map.nx; i += every) {
      const cell = j * map.nx + i;
      if ((map.margin[cell] ?? NO_FLOOR) <= UNSEEN) continue;
      const angle = ((map.heading[cell] ?? 0) * 2 * Math.PI) / map.headings;
      const [dx, dy] = [Math.cos(angle) * 5, -Math.sin(angle) * 5];
      const [cx, cy] = [x + (i + 0.5) * step, y - (j + 0.5) * step];
      pen.moveTo(cx - dx, cy - dy);
      pen.lineTo(cx + dx, cy + dy);
    }
  }
  pen.strokeStyle = 'rgba(0, 0, 0, 0.6)';
  pen.lineWidth = 1.25;
  pen.stroke();
}

/** Tints and the lines between them, so that it holds without colour. */
function tinted(map: MarginMap): HTMLCanvasElement {
  const fine = map.draft ? ROUGH : FINE;
  const [w, h] = [map.nx * fine, map.ny * fine];
  const steps = new Int8Array(w * h);
  for (let v = 0; v < h; v++) {
    for (let u = 0; u < w; u++) steps[v * w + u] = stepAt(map, u, v, fine);
  }
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [w, h];
  const pen = canvas.getContext('2d');
  if (!pen) return canvas;
  const picture = pen.createImageData(w, h);
  for (let v = 0; v < h; v++) {
    for (let u = 0; u < w; u++) {
      const step = steps[v * w + u] as number;
      if (step < 0) continue;
      const right = u + 1 < w ? (steps[v * w + u + 1] as number) : -1;
      const above = v + 1 < h ? (steps[(v + 1) * w + u] as number) : -1;
      const isEdge = (right >= 0 && right !== step) || (above >= 0 && above !== step);
      const [r = 0, g = 0, b = 0] = COLOURS[step] ?? [];
      const dark = isEdge ? 0.55 : 1;
      picture.data.set([r * dark, g * dark, b * dark, 255], ((h - 1 - v) * w + u) * 4);
    }
  }
  pen.putImageData(picture, 0, 0);
  return canvas;
}

/** Number of the tint at a picture point; -1 where there is no floor. */
function stepAt(map: MarginMap, u: number, v: number, fine: number): number {
  const own = map.margin[Math.floor(v / fine) * map.nx + Math.floor(u / fine)] ?? NO_FLOOR;
  if (own === NO_FLOOR) return -1;
  const [x, y] = [(u + 0.5) / fine - 0.5, (v + 0.5) / fine - 0.5];
  const [i, j] = [Math.floor(x), Math.floor(y)];
  let sum = 0;
  let weights = 0;
  for (const dj of [0, 1]) {
    for (const di of [0, 1]) {
      const [a, b] = [i + di, j + dj];
      if (a < 0 || b < 0 || a >= map.nx || b >= map.ny) continue;
      const value = map.margin[b * map.nx + a] ?? NO_FLOOR;
      if (value === NO_FLOOR) continue;
      const weight = (di ? x - i : 1 - x + i) * (dj ? y - j : 1 - y + j);
      sum += weight * Math.max(FLOOR_DB, value === UNSEEN ? FLOOR_DB : value * map.db_step);
      weights += weight;
    }
  }
  const db = weights ? sum / weights : FLOOR_DB;
  let step = 0;
  while (step < MARGIN_STEPS_DB.length && db >= (MARGIN_STEPS_DB[step] ?? Infinity)) step++;
  return step;
}
