/** Plan elements as shapes to look at. Only drawing: what encloses what is worked out by the server. */
import Feature from 'ol/Feature';
import { LineString, Point, Polygon } from 'ol/geom';
import type { Coordinate } from 'ol/coordinate';
import type { Device, Job, Kind, Opening, Premises, Wall, XY } from '../api/client';

/** What a shape on the plan stands for. */
export interface Ref {
  kind: Element;
  id: string;
}
export type Element =
  | 'wall'
  | 'opening'
  | 'room'
  | 'stair'
  | 'obstacle'
  | 'heat'
  | 'bed'
  | 'pet'
  | 'target'
  | 'service'
  | 'device';

/** Where in the job a kind of element is kept. */
export const PLACES: Record<Element, string> = {
  wall: 'premises.walls',
  opening: 'premises.openings',
  room: 'premises.rooms',
  stair: 'premises.stairs',
  obstacle: 'premises.obstacles',
  heat: 'premises.heat_sources',
  bed: 'premises.beds',
  pet: 'premises.pets',
  target: 'premises.targets',
  service: 'premises.services',
  device: 'design.devices',
};

export interface OpeningLie {
  centre: XY;
  along: XY;
  depth: number;
  storey: string;
}

export function toRing(ring: readonly (readonly number[])[]): Coordinate[] {
  const points = ring.map((p) => [p[0] ?? 0, p[1] ?? 0]);
  if (points[0]) points.push(points[0]);
  return points;
}

/** The point at a distance along a wall's axis, and the direction there. */
export function alongWall(axis: readonly XY[], offset: number): { at: XY; along: XY } {
  let left = offset;
  for (let n = 1; n < axis.length; n++) {
    const [a, b] = [axis[n - 1] as XY, axis[n] as XY];
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (left <= length || n === axis.length - 1) {
      const along: XY = length ? [(b[0] - a[0]) / length, (b[1] - a[1]) / length] : [1, 0];
      return { at: [a[0] + along[0] * left, a[1] + along[1] * left], along };
    }
    left -= length;
  }
  return { at: axis[0] as XY, along: [1, 0] };
}

export function wallLength(wall: Wall): number {
  const axis = wall.axis as XY[];
  return axis.slice(1).reduce((sum, b, n) => sum + Math.hypot(b[0] - axis[n]![0], b[1] - axis[n]![1]), 0);
}

/** Where an opening lies, or null where it lies flat (a rooflight, a hatch). */
export function lieOf(opening: Opening, premises: Premises): OpeningLie | null {
  const place = opening.place;
  if (place.kind === 'slab') return null;
  if (place.kind === 'line') {
    const [a, b] = [place.start as XY, place.end as XY];
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
    return {
      centre: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2],
      along: [(b[0] - a[0]) / length, (b[1] - a[1]) / length],
      depth: 0.1,
      storey: place.storey_id,
    };
  }
  const wall = premises.walls?.find((w) => w.id === place.wall_id);
  if (!wall) return null;
  const { at, along } = alongWall(wall.axis as XY[], place.offset_m ?? wallLength(wall) / 2);
  return { centre: at, along, depth: wall.thickness_m, storey: wall.storey_id };
}

function made(geometry: Polygon | LineString | Point, ref: Ref, more: Record<string, unknown> = {}): Feature {
  const feature = new Feature({ geometry, ref, ...more });
  feature.setId(`${ref.kind}:${ref.id}`);
  return feature;
}

export interface Shapes {
  rooms: Feature[];
  walls: Feature[];
  openings: Feature[];
  contents: Feature[];
  devices: Feature[];
}

/** Everything on one storey. */
export function shapesOf(job: Job, kinds: Map<string, Kind>, storey: string): Shapes {
  const premises = job.premises;
  return {
    rooms: (premises.rooms ?? [])
      .filter((r) => r.storey_id === storey)
      .map((r) =>
        made(new Polygon([toRing(r.outline), ...(r.holes ?? []).map(toRing)]), { kind: 'room', id: r.id }, { name: r.name }),
      ),
    walls: wallShapes((premises.walls ?? []).filter((w) => w.storey_id === storey)),
    openings: openingShapes(premises, storey),
    contents: contentShapes(premises, storey),
    devices: (job.design.devices ?? []).filter((d) => d.storey_id === storey).map((d) => deviceShape(d, premises, kinds)),
  };
}

function wallShapes(walls: Wall[]): Feature[] {
  const ends = new Map<string, number[]>();
  const name = (p: XY) => `${Math.round(p[0] * 500)},${Math.round(p[1] * 500)}`;
  for (const wall of walls) {
    for (const end of [wall.axis[0], wall.axis[wall.axis.length - 1]] as XY[]) {
      ends.set(name(end), [...(ends.get(name(end)) ?? []), wall.thickness_m]);
    }
  }
  // A wall that meets others is drawn on by half their thickness, so that corners are full.
  const run = (from: XY, to: XY): XY => {
    const met = ends.get(name(to)) ?? [];
    const by = met.length > 1 ? Math.max(...met) / 2 : 0;
    const length = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
    return [to[0] + ((to[0] - from[0]) / length) * by, to[1] + ((to[1] - from[1]) / length) * by];
  };
  return walls.map((wall) => {
    const axis = wall.axis as XY[];
    const drawn = axis.map((p, n) =>
      n === 0 ? run(axis[1] as XY, p) : n === axis.length - 1 ? run(axis[n - 1] as XY, p) : p,
    );
    return made(new LineString(drawn), { kind: 'wall', id: wall.id }, { thickness: wall.thickness_m });
  });
}

function openingShapes(premises: Premises, storey: string): Feature[] {
  const found: Feature[] = [];
  for (const opening of premises.openings ?? []) {
    const ref: Ref = { kind: 'opening', id: opening.id };
    if (opening.place.kind === 'slab') {
      if (opening.place.storey_id === storey) {
        found.push(made(new Polygon([toRing(opening.place.outline)]), ref, { opening }));
      }
      continue;
    }
    const lie = lieOf(opening, premises);
    if (!lie || lie.storey !== storey) continue;
    found.push(made(box(lie.centre, lie.along, opening.width_m, lie.depth + 0.02), ref, { opening, lie }));
  }
  return found;
}

export function box(centre: XY, along: XY, length: number, depth: number): Polygon {
  const [ux, uy] = along;
  const corner = (a: number, b: number) => [centre[0] + a * ux - b * uy, centre[1] + a * uy + b * ux];
  const [h, d] = [length / 2, depth / 2];
  return new Polygon([[corner(-h, -d), corner(h, -d), corner(h, d), corner(-h, d), corner(-h, -d)]]);
}

function contentShapes(premises: Premises, storey: string): Feature[] {
  const inRoom = (room: string) => premises.rooms?.find((r) => r.id === room)?.storey_id === storey;
  const found: Feature[] = [];
  for (const o of premises.obstacles ?? []) {
    if (o.storey_id === storey) {
      found.push(made(new Polygon([toRing(o.outline)]), { kind: 'obstacle', id: o.id }, { name: o.name }));
    }
  }
  for (const s of premises.stairs ?? []) {
    if (s.lower_storey_id !== storey && s.upper_storey_id !== storey) continue;
    found.push(
      made(new LineString([s.foot as XY, s.head as XY]), { kind: 'stair', id: s.id }, { name: s.name, width: s.width_m }),
    );
  }
  const spot = (kind: Element, id: string, at: XY, letters: string) =>
    found.push(made(new Point(at), { kind, id }, { letters }));
  for (const h of premises.heat_sources ?? []) if (h.storey_id === storey) spot('heat', h.id, h.position as XY, 'heat');
  for (const b of premises.beds ?? []) if (inRoom(b.room_id)) spot('bed', b.id, b.position as XY, 'bed');
  for (const t of premises.targets ?? []) if (inRoom(t.room_id)) spot('target', t.id, t.position as XY, 'target');
  for (const p of premises.services ?? []) {
    if (p.storey_id === storey) spot('service', p.id, p.position as XY, 'service');
  }
  return found;
}

function deviceShape(device: Device, premises: Premises, kinds: Map<string, Kind>): Feature {
  const kind = kinds.get(device.kind);
  let leaf: number | null = null;
  const opening = premises.openings?.find((o) => o.id === device.opening_id);
  const lie = opening ? lieOf(opening, premises) : null;
  const at = device.position as XY;
  if (lie) leaf = Math.atan2(lie.centre[1] - at[1], lie.centre[0] - at[0]);
  return made(
    new Point(at),
    { kind: 'device', id: device.id },
    {
      letters: kind?.tag ?? '?',
      radio: kind?.radio ?? false,
      kept: device.status === 'kept',
      heading: looks(kind?.family) ? device.heading_rad : null,
      leaf: lie && Math.hypot(lie.centre[0] - at[0], lie.centre[1] - at[1]) > 0.05 ? leaf : null,
    },
  );
}

/** Whether a family looks or listens one way, and so has a notch and is turned. */
export function looks(family: string | undefined): boolean {
  return ['motion detector', 'dual-technology detector', 'photo-beam', 'glass-break detector'].includes(family ?? '');
}
