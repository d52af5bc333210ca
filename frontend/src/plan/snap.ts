/** Where a pointer means: corners and walls pull, straight lines are kept straight, the rest falls on five centimetres. */
import type { Job, Opening, Wall, XY } from '../api/client';
import { alongWall, lieOf, wallLength } from './draw';

const PULL_PX = 14;
const STEP_M = 0.05;
const CORNER_M = 0.45;
/** A device stands this far off the face it is fixed to. */
const OFF_FACE_M = 0.03;

export interface Foot {
  wall: Wall;
  /** Nearest point of its axis, and distance to it. */
  at: XY;
  offset: number;
  along: XY;
  away: number;
}

export function wallsOn(job: Job, storey: string): Wall[] {
  return (job.premises.walls ?? []).filter((w) => w.storey_id === storey);
}

/** The foot of a point on the nearest wall within reach. */
export function nearestWall(at: XY, walls: readonly Wall[], reach: number): Foot | null {
  let best: Foot | null = null;
  for (const wall of walls) {
    const axis = wall.axis as XY[];
    let before = 0;
    for (let n = 1; n < axis.length; n++) {
      const [a, b] = [axis[n - 1] as XY, axis[n] as XY];
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1e-9;
      const along: XY = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
      const t = Math.min(length, Math.max(0, (at[0] - a[0]) * along[0] + (at[1] - a[1]) * along[1]));
      const foot: XY = [a[0] + along[0] * t, a[1] + along[1] * t];
      const away = Math.hypot(at[0] - foot[0], at[1] - foot[1]);
      if (away <= reach && (!best || away < best.away)) best = { wall, at: foot, offset: before + t, along, away };
      before += length;
    }
  }
  return best;
}

const onGrid = (value: number) => Math.round(value / STEP_M) * STEP_M;
const neat = (value: number) => Math.round(value * 1000) / 1000;

/** A corner to be: pulled by wall ends, by walls, by lines through `from` and through other ends. */
export function snapCorner(at: XY, walls: readonly Wall[], resolution: number, from: XY | null = null): XY {
  const pull = PULL_PX * resolution;
  const ends = walls.flatMap((w) => [w.axis[0], w.axis[w.axis.length - 1]] as XY[]);
  const near = nearest(at, ends, pull);
  if (near) return near;
  let [x, y] = at;
  if (from) {
    if (Math.abs(x - from[0]) < pull) x = from[0];
    else if (Math.abs(y - from[1]) < pull) y = from[1];
  }
  const foot = nearestWall([x, y], walls, pull);
  if (foot) {
    // Along the wall on the grid, across it on the wall.
    if (Math.abs(foot.along[0]) < 1e-6) return [foot.at[0], lined(y, ends, 1, pull)];
    if (Math.abs(foot.along[1]) < 1e-6) return [lined(x, ends, 0, pull), foot.at[1]];
    return [neat(foot.at[0]), neat(foot.at[1])];
  }
  return [from && x === from[0] ? x : lined(x, ends, 0, pull), from && y === from[1] ? y : lined(y, ends, 1, pull)];
}

function lined(value: number, ends: readonly XY[], n: 0 | 1, pull: number): number {
  const close = ends.map((e) => e[n]).find((v) => Math.abs(v - value) < pull);
  return close ?? neat(onGrid(value));
}

function nearest(at: XY, points: readonly XY[], reach: number): XY | null {
  let best: XY | null = null;
  let away = reach;
  for (const point of points) {
    const d = Math.hypot(point[0] - at[0], point[1] - at[1]);
    if (d <= away) [best, away] = [point, d];
  }
  return best;
}

/** Place for an opening's middle along a wall, kept within it. */
export function snapOpening(at: XY, walls: readonly Wall[], width: number, reach: number): { foot: Foot; offset: number } | null {
  const foot = nearestWall(at, walls, reach);
  if (!foot) return null;
  const length = wallLength(foot.wall);
  if (length < width) return null;
  return { foot, offset: neat(Math.min(length - width / 2, Math.max(width / 2, onGrid(foot.offset)))) };
}

export interface Fixing {
  position: XY;
  heading_rad: number | null;
  opening_id: string | null;
  leaf_id: string | null;
}

/** Where a device is fixed: on the opening it belongs to, in a corner, on a wall's face, or free. */
export function snapDevice(at: XY, job: Job, storey: string, sits: 'opening' | 'wall' | 'free', reach: number): Fixing {
  if (sits === 'opening') {
    const found = nearestOpening(at, job, storey, Math.max(reach, 0.8));
    if (found) return onOpening(found, job, at);
  }
  const free: Fixing = { position: [neat(at[0]), neat(at[1])], heading_rad: null, opening_id: null, leaf_id: null };
  if (sits === 'free') return { ...free, position: [neat(onGrid(at[0])), neat(onGrid(at[1]))] };
  const walls = wallsOn(job, storey).filter((w) => (w.base_m ?? 0) < 1.5);
  const foot = nearestWall(at, walls, reach + 0.3);
  if (!foot || foot.away > foot.wall.thickness_m / 2 + reach) return free;
  const first = offFace(at, foot);
  const others = walls.filter((w) => w !== foot.wall);
  const second = nearestWall(first.position, others, CORNER_M);
  if (!second || Math.abs(second.along[0] * foot.along[0] + second.along[1] * foot.along[1]) > 0.9) return first;
  const clear = second.wall.thickness_m / 2 + OFF_FACE_M;
  if (second.away > clear + 0.25) return first;
  const [mx, my] = [first.position[0] - second.at[0], first.position[1] - second.at[1]];
  const length = Math.hypot(mx, my) || 1;
  const [nx, ny] = [mx / length, my / length];
  const shift = clear - second.away;
  const [hx, hy] = [Math.cos(first.heading_rad ?? 0) + nx, Math.sin(first.heading_rad ?? 0) + ny];
  return {
    ...first,
    position: [neat(first.position[0] + nx * shift), neat(first.position[1] + ny * shift)],
    heading_rad: Math.atan2(hy, hx),
  };
}

/** On the face of the wall on the side the pointer is, looking straight off it. */
function offFace(at: XY, foot: Foot): Fixing {
  const [ux, uy] = foot.along;
  const side = (at[0] - foot.at[0]) * -uy + (at[1] - foot.at[1]) * ux >= 0 ? 1 : -1;
  const [nx, ny] = [-uy * side, ux * side];
  const off = foot.wall.thickness_m / 2 + OFF_FACE_M;
  return {
    position: [neat(foot.at[0] + nx * off), neat(foot.at[1] + ny * off)],
    heading_rad: Math.atan2(ny, nx),
    opening_id: null,
    leaf_id: null,
  };
}

function nearestOpening(at: XY, job: Job, storey: string, reach: number): Opening | null {
  let best: Opening | null = null;
  let away = reach;
  for (const opening of job.premises.openings ?? []) {
    if (opening.kind === 'passage') continue;
    const lie = lieOf(opening, job.premises);
    if (!lie || lie.storey !== storey) continue;
    const [dx, dy] = [at[0] - lie.centre[0], at[1] - lie.centre[1]];
    const along = Math.max(0, Math.abs(dx * lie.along[0] + dy * lie.along[1]) - opening.width_m / 2);
    const across = Math.abs(-dx * lie.along[1] + dy * lie.along[0]);
    const d = Math.hypot(along, across);
    if (d < away) [best, away] = [opening, d];
  }
  return best;
}

/** On an opening: at the lock side of its first leaf, on the inner face. */
export function onOpening(opening: Opening, job: Job, at: XY | null = null): Fixing {
  const lie = lieOf(opening, job.premises);
  const leaf = opening.leaves?.find((l) => l.role !== 'fixed' && l.role !== 'sidelight') ?? opening.leaves?.[0];
  if (!lie) {
    return { position: at ?? [0, 0], heading_rad: null, opening_id: opening.id, leaf_id: leaf?.id ?? null };
  }
  const inward = opening.sides?.[0] === 'outside' ? -1 : 1;
  const [ux, uy] = lie.along;
  const [nx, ny] = [-uy * inward, ux * inward];
  const off = lie.depth / 2 + OFF_FACE_M;
  const side = at ? Math.sign((at[0] - lie.centre[0]) * ux + (at[1] - lie.centre[1]) * uy) || 1 : 1;
  const reach = side * (opening.width_m / 2 - Math.min(0.1, opening.width_m / 4));
  return {
    position: [neat(lie.centre[0] + ux * reach + nx * off), neat(lie.centre[1] + uy * reach + ny * off)],
    heading_rad: Math.atan2(ny, nx),
    opening_id: opening.id,
    leaf_id: leaf?.id ?? null,
  };
}

/** The room a point lies in; the smallest where rooms overlap. */
export function roomAt(at: XY, job: Job, storey: string): string | null {
  let best: string | null = null;
  let least = Infinity;
  for (const room of job.premises.rooms ?? []) {
    if (room.storey_id !== storey || !within(at, room.outline as XY[])) continue;
    const area = Math.abs(ringArea(room.outline as XY[]));
    if (area < least) [best, least] = [room.id, area];
  }
  return best;
}

function within(at: XY, ring: readonly XY[]): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [a, b] = [ring[i] as XY, ring[j] as XY];
    if (a[1] > at[1] !== b[1] > at[1] && at[0] < ((b[0] - a[0]) * (at[1] - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

export function ringArea(ring: readonly XY[]): number {
  return ring.reduce((sum, p, n) => {
    const q = ring[(n + 1) % ring.length] as XY;
    return sum + (p[0] * q[1] - q[0] * p[1]) / 2;
  }, 0);
}

/** A point well inside a ring, to put something down at. */
export function middleOf(ring: readonly XY[]): XY {
  const xs = ring.map((p) => p[0]);
  const ys = ring.map((p) => p[1]);
  const middle: XY = [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2];
  if (within(middle, ring)) return middle;
  const [a, b, c] = [ring[0] as XY, ring[1] as XY, ring[2] as XY];
  return [(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3];
}

export { alongWall };
