/** Nothing in hand: choose what is there, and move it by dragging or by the arrow keys. */
import type { Device, Job, Move, XY } from '../../api/client';
import type { Bench } from '../../job/bench.svelte';
import { PLACES } from '../draw';
import type { Element, Ref } from '../draw';
import type { Hit, PlanMap, Tool } from '../PlanMap';
import { nearestWall, roomAt, snapCorner, snapDevice, snapOpening, wallsOn } from '../snap';
import { nameOf, sitsOf } from '../naming';
import { removing } from './removing';

/** What wins where several lie under the pointer. */
const ORDER: Element[] = ['device', 'target', 'bed', 'heat', 'opening', 'stair', 'wall', 'obstacle', 'service', 'room'];
const FINE_M = 0.05;
const COARSE_M = 0.5;
const TURN_RAD = Math.PI / 12;

export function chooseTool(bench: Bench, plan: PlanMap, mayMove: (kind: Element) => boolean): Tool {
  let held: Ref | null = null;
  let from: XY = [0, 0];
  let moved: Placed | null = null;

  const topmost = (hit: Hit): Ref | null =>
    [...hit.refs].sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind))[0] ?? null;

  return {
    down(hit) {
      const ref = topmost(hit);
      held = null;
      if (!ref || ref.kind === 'room' || !mayMove(ref.kind)) return false;
      // A wall is grabbed only once it is chosen: a plan is panned by dragging anywhere else.
      if ((ref.kind === 'wall' || ref.kind === 'obstacle') && bench.selected?.id !== ref.id) return false;
      held = ref;
      from = hit.at;
      moved = null;
      return true;
    },
    drag(hit) {
      const job = bench.desk.job;
      if (!held || !job) return;
      if (!moved && Math.hypot(hit.at[0] - from[0], hit.at[1] - from[1]) < 4 * hit.resolution) return;
      if (!moved) bench.choose(held);
      moved = placed(held, [hit.at[0] - from[0], hit.at[1] - from[1]], hit.at, hit.resolution, job, bench);
      if (moved) show(plan, held, moved, bench);
    },
    up() {
      const job = bench.desk.job;
      if (held && moved && job) void bench.desk.edit(`${nameOf(held, job)} moved`, moved.moves, moved.follow);
      held = null;
    },
    click(hit) {
      bench.choose(topmost(hit));
    },
    key(event) {
      const job = bench.desk.job;
      const ref = bench.selected;
      if (!ref || !job) return false;
      if (event.key === 'Escape') bench.choose(null);
      else if ((event.key === 'Delete' || event.key === 'Backspace') && mayMove(ref.kind)) removing(bench, ref);
      else if ((event.key === '[' || event.key === ']') && ref.kind === 'device') turn(bench, ref, event.key === '[' ? 1 : -1);
      else {
        const step = event.shiftKey ? COARSE_M : FINE_M;
        const by: Record<string, XY> = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
        const shift = by[event.key];
        if (!shift || !mayMove(ref.kind) || ref.kind === 'room') return false;
        const to = placed(ref, shift, null, 0.01, job, bench);
        if (to) void bench.desk.edit(`${nameOf(ref, job)} moved`, to.moves, to.follow);
      }
      return true;
    },
  };
}

export function turn(bench: Bench, ref: Ref, steps: number): void {
  const device = bench.desk.job?.design.devices?.find((d) => d.id === ref.id);
  if (!device) return;
  const heading_rad = wrapped((device.heading_rad ?? 0) + steps * TURN_RAD);
  const moves: Move[] = [{ do: 'set', place: PLACES.device, id: ref.id, values: { heading_rad } }];
  void bench.desk.edit(`${device.name || device.id} turned`, moves);
}

export function wrapped(angle: number): number {
  return Math.atan2(Math.sin(angle), Math.cos(angle));
}

interface Placed {
  moves: Move[];
  follow: boolean;
  device?: Device;
  at?: XY;
  shift?: XY;
}

const plus = (a: readonly number[], b: XY): XY => [round((a[0] ?? 0) + b[0]), round((a[1] ?? 0) + b[1])];
const round = (value: number) => Math.round(value * 1000) / 1000;

/** The moves that put an element elsewhere. `at` is the pointer; null where it is moved by keys. */
function placed(ref: Ref, by: XY, at: XY | null, resolution: number, job: Job, bench: Bench): Placed | null {
  const set = (values: Record<string, unknown>): Move[] => [{ do: 'set', place: PLACES[ref.kind], id: ref.id, values }];
  const premises = job.premises;
  if (ref.kind === 'device') {
    const device = job.design.devices?.find((d) => d.id === ref.id);
    if (!device) return null;
    const sits = sitsOf(bench.desk.kinds.get(device.kind)?.family);
    const fixed = at
      ? snapDevice(at, job, device.storey_id, sits, 12 * resolution)
      : { position: plus(device.position, by), heading_rad: null, opening_id: device.opening_id ?? null, leaf_id: device.leaf_id ?? null };
    const values = {
      position: fixed.position,
      heading_rad: fixed.heading_rad ?? device.heading_rad,
      opening_id: fixed.opening_id,
      leaf_id: fixed.leaf_id,
    };
    return { moves: set(values), follow: false, device: { ...device, ...values } as Device, at: fixed.position };
  }
  if (ref.kind === 'opening') return openingPlaced(ref, by, at, resolution, job, set);
  if (ref.kind === 'wall') return wallPlaced(ref, by, at !== null, resolution, job);
  if (ref.kind === 'obstacle') {
    const obstacle = premises.obstacles?.find((o) => o.id === ref.id);
    if (!obstacle) return null;
    return { moves: set({ outline: obstacle.outline.map((p) => plus(p, by)) }), follow: false, shift: by };
  }
  if (ref.kind === 'stair') {
    const stair = premises.stairs?.find((s) => s.id === ref.id);
    if (!stair) return null;
    const outline = (stair.outline ?? []).map((p) => plus(p, by));
    return { moves: set({ foot: plus(stair.foot, by), head: plus(stair.head, by), outline }), follow: false, shift: by };
  }
  const spot = [...(premises.heat_sources ?? []), ...(premises.beds ?? []), ...(premises.targets ?? []), ...(premises.services ?? [])].find(
    (e) => e.id === ref.id,
  );
  if (!spot) return null;
  const to = at ? plus(at, [0, 0]) : plus(spot.position, by);
  const room = roomAt(to, job, bench.storey);
  if ('room_id' in spot && ref.kind !== 'service' && !room) return null;
  const values = 'room_id' in spot && ref.kind !== 'service' ? { position: to, room_id: room } : { position: to };
  return { moves: set(values), follow: false, at: to };
}

function openingPlaced(ref: Ref, by: XY, at: XY | null, resolution: number, job: Job, set: (v: Record<string, unknown>) => Move[]): Placed | null {
  const opening = job.premises.openings?.find((o) => o.id === ref.id);
  if (!opening) return null;
  const place = opening.place;
  if (place.kind === 'line') {
    return { moves: set({ place: { ...place, start: plus(place.start, by), end: plus(place.end, by) } }), follow: true, shift: by };
  }
  if (place.kind === 'slab') {
    return { moves: set({ place: { ...place, outline: place.outline.map((p) => plus(p, by)) } }), follow: true, shift: by };
  }
  const wall = job.premises.walls?.find((w) => w.id === place.wall_id);
  if (!wall) return null;
  if (at) {
    const found = snapOpening(at, wallsOn(job, wall.storey_id), opening.width_m, Math.max(1, 30 * resolution));
    if (!found) return null;
    const lies = { kind: 'wall', wall_id: found.foot.wall.id, offset_m: found.offset };
    return { moves: set({ place: lies, position_assumed: false }), follow: true, at: found.foot.at };
  }
  const axis = wall.axis as XY[];
  const [a, b] = [axis[0] as XY, axis[axis.length - 1] as XY];
  const foot = nearestWall(a, [wall], Infinity);
  const along = foot?.along ?? [1, 0];
  const shift = by[0] * along[0] + by[1] * along[1] || (Math.abs(by[0] + by[1]) > 0 ? by[0] + by[1] : 0);
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const offset = Math.min(length - opening.width_m / 2, Math.max(opening.width_m / 2, (place.offset_m ?? length / 2) + shift));
  return { moves: set({ place: { ...place, offset_m: round(offset) }, position_assumed: false }), follow: true };
}

/** A wall moved across itself takes the ends of the walls that meet it along. */
function wallPlaced(ref: Ref, by: XY, snapped: boolean, resolution: number, job: Job): Placed | null {
  const wall = job.premises.walls?.find((w) => w.id === ref.id);
  if (!wall) return null;
  const axis = wall.axis as XY[];
  let shift = by;
  if (snapped) {
    const others = wallsOn(job, wall.storey_id).filter((w) => w !== wall);
    const first = axis[0] as XY;
    const to = snapCorner(plus(first, by), others, resolution, first);
    shift = [to[0] - first[0], to[1] - first[1]];
  }
  const moves: Move[] = [{ do: 'set', place: PLACES.wall, id: wall.id, values: { axis: axis.map((p) => plus(p, shift)) } }];
  const ends = [axis[0] as XY, axis[axis.length - 1] as XY];
  for (const other of wallsOn(job, wall.storey_id)) {
    if (other.id === wall.id) continue;
    const there = other.axis as XY[];
    const last = there.length - 1;
    const follows = (p: XY, n: number) =>
      (n === 0 || n === last) &&
      (ends.some((e) => Math.hypot(e[0] - p[0], e[1] - p[1]) < 0.01) || (nearestWall(p, [wall], 0.02)?.away ?? 1) < 0.02);
    if (!there.some(follows)) continue;
    const values = { axis: there.map((p, n) => (follows(p, n) ? plus(p, shift) : p)) };
    moves.push({ do: 'set', place: PLACES.wall, id: other.id, values });
  }
  return { moves, follow: true, shift };
}

/** Show an element where it would be, before it is there. */
function show(plan: PlanMap, ref: Ref, to: Placed, bench: Bench): void {
  const feature = plan.feature(ref.kind, ref.id);
  const geometry = feature?.getGeometry();
  if (!feature || !geometry) return;
  const original = (feature.get('original') as typeof geometry | undefined) ?? geometry.clone();
  feature.set('original', original, true);
  const next = original.clone();
  if (to.shift) next.translate(to.shift[0], to.shift[1]);
  else if (to.at) {
    const extent = original.getExtent();
    next.translate(to.at[0] - (extent[0]! + extent[2]!) / 2, to.at[1] - (extent[1]! + extent[3]!) / 2);
  }
  feature.set('lie', undefined, true);
  if (to.device) feature.set('heading', feature.get('heading') === null ? null : to.device.heading_rad, true);
  feature.setGeometry(next);
  if (to.device) bench.hold(to.device);
}
