/** The margin map as a picture under the plan: five tints with contour lines, strokes along the least noticed walk. */
import ImageCanvasSource from 'ol/source/ImageCanvas';
import type { Extent } from 'ol/extent';
import type { DrawnMap } from '../api/live';
import { NO_FLOOR, UNSEEN } from '../api/packed';
import type { MarginMap } from '../api/packed';

export class MarginPicture {
  readonly source: ImageCanvasSource;
  private map: DrawnMap | null = null;
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

  show(map: DrawnMap | null): void {
    this.map = map;
    this.cells = map ? canvasOf(map.picture) : null;
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

function canvasOf(picture: ImageData): HTMLCanvasElement {
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [picture.width, picture.height];
  canvas.getContext('2d')?.putImageData(picture, 0, 0);
  return canvas;
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
  pen.strokeStyle = 'rgba(0, 0, 0, 0.5)';
  pen.lineWidth = 1.25;
  pen.stroke();
}
