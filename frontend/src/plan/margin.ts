/** The margin map as a picture under the plan: five tints with contour lines, strokes along the least noticed walk. */
import ImageCanvasSource from 'ol/source/ImageCanvas';
import type { Extent } from 'ol/extent';
import { NO_FLOOR } from '../api/live';
import type { MarginMap } from '../api/live';
import { MARGIN_COLOURS, MARGIN_STEPS_DB } from './marginScale';

const COLOURS = MARGIN_COLOURS.map((c) => [1, 3, 5].map((n) => parseInt(c.slice(n, n + 2), 16)));

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
    this.cells = map ? coloured(map) : null;
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
    pen.imageSmoothingEnabled = false;
    pen.drawImage(this.cells, x, y, w, h);
    this.contours(pen, map, x, y + h, map.step_m * scale);
    if (!map.draft) this.strokes(pen, map, x, y + h, map.step_m * scale);
    this.onPainted(map.n);
    return canvas;
  }

  /** Lines between cells of different tint, so that it holds without colour. */
  private contours(pen: CanvasRenderingContext2D, map: MarginMap, x: number, y: number, step: number): void {
    pen.beginPath();
    for (let j = 0; j < map.ny; j++) {
      for (let i = 0; i < map.nx; i++) {
        const here = tint(map, i, j);
        if (here < 0) continue;
        const right = i + 1 < map.nx ? tint(map, i + 1, j) : -1;
        const above = j + 1 < map.ny ? tint(map, i, j + 1) : -1;
        if (right >= 0 && right !== here) {
          pen.moveTo(x + (i + 1) * step, y - j * step);
          pen.lineTo(x + (i + 1) * step, y - (j + 1) * step);
        }
        if (above >= 0 && above !== here) {
          pen.moveTo(x + i * step, y - (j + 1) * step);
          pen.lineTo(x + (i + 1) * step, y - (j + 1) * step);
        }
      }
    }
    pen.strokeStyle = 'rgba(0, 0, 0, 0.55)';
    pen.lineWidth = 1;
    pen.stroke();
  }

  private strokes(pen: CanvasRenderingContext2D, map: MarginMap, x: number, y: number, step: number): void {
    const every = Math.max(1, Math.round(28 / step));
    pen.beginPath();
    for (let j = every >> 1; j < map.ny; j += every) {
      for (let i = every >> 1; i < map.nx; i += every) {
        if (tint(map, i, j) < 1) continue;
        const angle = ((map.heading[j * map.nx + i] ?? 0) * 2 * Math.PI) / map.headings;
        const [dx, dy] = [Math.cos(angle) * 5, -Math.sin(angle) * 5];
        const [cx, cy] = [x + (i + 0.5) * step, y - (j + 0.5) * step];
        pen.moveTo(cx - dx, cy - dy);
        pen.lineTo(cx + dx, cy + dy);
      }
    }
    pen.strokeStyle = 'rgba(0, 0, 0, 0.7)';
    pen.lineWidth = 1.25;
    pen.stroke();
  }
}

/** Number of the tint of a cell; -1 where there is no floor. */
function tint(map: MarginMap, i: number, j: number): number {
  const value = map.margin[j * map.nx + i] ?? NO_FLOOR;
  if (value === NO_FLOOR) return -1;
  const db = value * map.db_step;
  let step = 0;
  while (step < MARGIN_STEPS_DB.length && db >= (MARGIN_STEPS_DB[step] ?? Infinity)) step++;
  return step;
}

function coloured(map: MarginMap): HTMLCanvasElement {
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [map.nx, map.ny];
  const pen = canvas.getContext('2d');
  if (!pen) return canvas;
  const picture = pen.createImageData(map.nx, map.ny);
  for (let j = 0; j < map.ny; j++) {
    for (let i = 0; i < map.nx; i++) {
      const step = tint(map, i, j);
      if (step < 0) continue;
      const at = ((map.ny - 1 - j) * map.nx + i) * 4;
      const [r = 0, g = 0, b = 0] = COLOURS[step] ?? [];
      picture.data.set([r, g, b, 255], at);
    }
  }
  pen.putImageData(picture, 0, 0);
  return canvas;
}
