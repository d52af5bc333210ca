/** Tools that draw the fabric: rooms by two corners, walls corner by corner, openings dropped on walls, stairs. */
import Feature from 'ol/Feature';
import { LineString, Point, Polygon } from 'ol/geom';
import type { XY } from '../../api/client';
import type { Bench } from '../../job/bench.svelte';
import { lengthWords, parseLength, reader } from '../../job/lengths.svelte';
import { box } from '../draw';
import type { Hit, PlanMap, Tool } from '../PlanMap';
import { snapCorner, snapOpening, wallsOn } from '../snap';

const walls = (bench: Bench) => (bench.desk.job ? wallsOn(bench.desk.job, bench.storey) : []);

/** What a drawing tool is told by its panel. */
export interface Drawing {
  thickness_m: number;
}

/** A rectangle by two corners: drag, or click and click. */
export function rectangleTool(
  bench: Bench,
  plan: PlanMap,
  sizeWords: (width: number, depth: number) => string,
  done: (ring: XY[]) => void,
): Tool {
  let first: XY | null = null;
  let dragged = false;

  const corner = (hit: Hit) => snapCorner(hit.at, walls(bench), hit.resolution);
  const ring = (a: XY, b: XY): XY[] => [
    [Math.min(a[0], b[0]), Math.min(a[1], b[1])],
    [Math.max(a[0], b[0]), Math.min(a[1], b[1])],
    [Math.max(a[0], b[0]), Math.max(a[1], b[1])],
    [Math.min(a[0], b[0]), Math.max(a[1], b[1])],
  ];
  const sketch = (to: XY) => {
    plan.sketch.clear();
    if (!first) {
      plan.sketch.addFeature(new Feature(new Point(to)));
      return;
    }
    const [w, h] = [Math.abs(to[0] - first[0]), Math.abs(to[1] - first[1])];
    const points = ring(first, to);
    const shape = new Feature({ geometry: new Polygon([[...points, points[0] as XY]]), label: sizeWords(w, h) });
    plan.sketch.addFeature(shape);
  };
  const finish = (to: XY) => {
    const from = first;
    first = null;
    plan.sketch.clear();
    if (from && Math.abs(to[0] - from[0]) > 0.05 && Math.abs(to[1] - from[1]) > 0.05) done(ring(from, to));
  };
  return {
    cursor: 'crosshair',
    move: (hit) => sketch(corner(hit)),
    down(hit) {
      dragged = false;
      first ??= corner(hit);
      return true;
    },
    drag(hit) {
      dragged = true;
      sketch(corner(hit));
    },
    up(hit) {
      const to = corner(hit);
      const far = first && Math.hypot(to[0] - first[0], to[1] - first[1]) > 12 * hit.resolution;
      if (first && far) finish(to);
      else if (dragged) first = null;
    },
    key(event) {
      if (event.key !== 'Escape' || !first) return false;
      first = null;
      plan.sketch.clear();
      return true;
    },
    leave: () => plan.sketch.clear(),
  };
}

/** Walls corner by corner; digits typed are the length of the next one, arrows its direction. */
export class WallTool implements Tool {
  readonly cursor = 'crosshair';
  corners: XY[] = [];
  private typed = '';
  private heading: XY = [1, 0];

  constructor(
    private readonly bench: Bench,
    private readonly plan: PlanMap,
    private readonly drawing: Drawing,
    private readonly done: (corners: XY[], closed: boolean) => void,
    private readonly told: (corners: XY[]) => void,
  ) {}

  move(hit: Hit): void {
    const last = this.corners.at(-1) ?? null;
    const to = snapCorner(hit.at, this.ends(), hit.resolution, last);
    if (last) {
      const [dx, dy] = [to[0] - last[0], to[1] - last[1]];
      if (Math.hypot(dx, dy) > 0.01) this.heading = Math.abs(dx) >= Math.abs(dy) ? [Math.sign(dx), 0] : [0, Math.sign(dy)];
    }
    this.show(to);
  }

  click(hit: Hit): void {
    const first = this.corners[0];
    const to = snapCorner(hit.at, this.ends(), hit.resolution, this.corners.at(-1) ?? null);
    if (first && this.corners.length > 2 && Math.hypot(to[0] - first[0], to[1] - first[1]) < 14 * hit.resolution) this.close();
    else this.add(to);
  }

  /** One more corner. */
  add(to: XY): void {
    const last = this.corners.at(-1);
    if (last && Math.hypot(to[0] - last[0], to[1] - last[1]) < 0.02) return;
    this.corners = [...this.corners, to];
    this.typed = '';
    this.told(this.corners);
    this.show(null);
  }

  /** A wall of a length in a direction from the last corner; from the plan's zero where there is none. */
  walk(length: number, direction: XY): void {
    if (!this.corners.length) this.add([0, 0]);
    const last = this.corners.at(-1) as XY;
    const round = (value: number) => Math.round(value * 1000) / 1000;
    this.heading = direction;
    this.add([round(last[0] + direction[0] * length), round(last[1] + direction[1] * length)]);
  }

  /** Back to the first corner. */
  close(): void {
    this.end(true);
  }

  end(closed = false): void {
    const corners = this.corners;
    this.corners = [];
    this.typed = '';
    this.told([]);
    this.plan.sketch.clear();
    if (corners.length > 1) this.done(corners, closed);
  }

  key(event: KeyboardEvent): boolean {
    const pan: Record<string, XY> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const way = pan[event.key];
    if (way && (this.typed || this.corners.length)) {
      this.heading = way;
      const length = parseLength(this.typed);
      if (length) this.walk(length, way);
      return true;
    }
    if (/^[0-9.,'" ]$/.test(event.key)) {
      this.typed += event.key;
      this.show(null);
      return true;
    }
    if (event.key === 'Backspace') {
      if (this.typed) this.typed = this.typed.slice(0, -1);
      else if (this.corners.length) this.corners = this.corners.slice(0, -1);
      this.told(this.corners);
      this.show(null);
      return true;
    }
    if (event.key === 'Enter') {
      const length = parseLength(this.typed);
      if (length) this.walk(length, this.heading);
      else this.end();
      return true;
    }
    if (event.key === 'Escape' && this.corners.length) {
      this.end();
      return true;
    }
    if (event.key === 'c' && this.corners.length > 2) {
      this.close();
      return true;
    }
    return false;
  }

  leave(): void {
    this.end();
  }

  private ends() {
    const drawn = this.corners.slice(1).map((b, n) => ({
      id: `sketch-${n}`,
      storey_id: this.bench.storey,
      axis: [this.corners[n] as XY, b],
      thickness_m: this.drawing.thickness_m,
      base_m: 0,
      party: false,
      assumed: false,
    }));
    return [...walls(this.bench), ...drawn];
  }

  private show(to: XY | null): void {
    this.plan.sketch.clear();
    const points = to ? [...this.corners, to] : this.corners;
    for (let n = 1; n < points.length; n++) {
      const [a, b] = [points[n - 1] as XY, points[n] as XY];
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      this.plan.sketch.addFeature(
        new Feature({ geometry: new LineString([a, b]), thickness: this.drawing.thickness_m, label: lengthWords(length) }),
      );
    }
    const at = points.at(-1);
    if (at) {
      const label = this.typed ? `${this.typed}${/[a-z'"]$/.test(this.typed) ? '' : ` ${reader.unit}`}` : undefined;
      this.plan.sketch.addFeature(new Feature({ geometry: new Point(at), label }));
    }
  }
}

/** A door or window dropped on a wall. */
export function openingTool(bench: Bench, plan: PlanMap, width: () => number, done: (wall: string, offset: number) => void): Tool {
  const spot = (hit: Hit) => snapOpening(hit.at, walls(bench), width(), Math.max(0.6, 24 * hit.resolution));
  return {
    cursor: 'crosshair',
    move(hit) {
      plan.sketch.clear();
      const found = spot(hit);
      if (!found) return;
      const { foot } = found;
      plan.sketch.addFeature(
        new Feature({ geometry: box(foot.at, foot.along, width(), foot.wall.thickness_m + 0.1), label: lengthWords(width()) }),
      );
    },
    click(hit) {
      const found = spot(hit);
      if (found) done(found.foot.wall.id, found.offset);
      else bench.desk.trouble = 'A door or window goes on a wall: click on one, at least as long as it is wide.';
    },
    leave: () => plan.sketch.clear(),
  };
}

/** One click puts something down. */
export function spotTool(plan: PlanMap, done: (at: XY) => void): Tool {
  return {
    cursor: 'crosshair',
    click: (hit) => done([Math.round(hit.at[0] * 100) / 100, Math.round(hit.at[1] * 100) / 100]),
    leave: () => plan.sketch.clear(),
  };
}

/** Two clicks: foot and head of a stair, two points of a picture. */
export function lineTool(plan: PlanMap, done: (a: XY, b: XY) => void): Tool {
  let first: XY | null = null;
  const round = (at: XY): XY => [Math.round(at[0] * 1000) / 1000, Math.round(at[1] * 1000) / 1000];
  const show = (to: XY) => {
    plan.sketch.clear();
    plan.sketch.addFeature(new Feature(new Point(to)));
    if (first) plan.sketch.addFeature(new Feature({ geometry: new LineString([first, to]), label: lengthWords(Math.hypot(to[0] - first[0], to[1] - first[1])) }));
  };
  return {
    cursor: 'crosshair',
    move: (hit) => show(hit.at),
    click(hit) {
      if (!first) {
        first = round(hit.at);
        show(hit.at);
        return;
      }
      const from = first;
      first = null;
      plan.sketch.clear();
      done(from, round(hit.at));
    },
    key(event) {
      if (event.key !== 'Escape' || !first) return false;
      first = null;
      plan.sketch.clear();
      return true;
    },
    leave: () => plan.sketch.clear(),
  };
}
