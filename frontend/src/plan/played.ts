/** A route along the plan at a moment: where somebody is, and how surely the system knows by then. */
import Feature from 'ol/Feature';
import type { FeatureLike } from 'ol/Feature';
import { LineString, Point } from 'ol/geom';
import type VectorSource from 'ol/source/Vector';
import { Circle, Fill, RegularShape, Stroke, Style, Text } from 'ol/style';
import type { Route, XY } from '../api/client';
import { FONT } from './ink';
import type { Look } from './styles';

const THICK = 9;
const THIN = 2.5;

export interface Spot {
  storey: string;
  at: XY;
}

/** Chance of having been noticed by a moment. */
export function chanceAt(route: Route, time: number): number {
  const by = route.chance_by ?? [];
  let before: readonly [number, number] | undefined;
  for (const moment of by as unknown as [number, number][]) {
    if (moment[0] > time) {
      if (!before) return 0;
      const share = (time - before[0]) / (moment[0] - before[0] || 1);
      return before[1] + share * (moment[1] - before[1]);
    }
    before = moment;
  }
  return before?.[1] ?? 0;
}

/** Where somebody on the route is at a moment. */
export function spotAt(route: Route, time: number): Spot {
  const points = route.points as unknown as [string, number, number][];
  const times = route.times_s;
  const next = times.findIndex((t) => t > time);
  if (next <= 0) {
    const end = points[next === 0 ? 0 : points.length - 1] ?? ['', 0, 0];
    return { storey: end[0], at: [end[1], end[2]] };
  }
  const [a, b] = [points[next - 1]!, points[next]!];
  const [from, to] = [times[next - 1] ?? 0, times[next] ?? 0];
  const share = to > from ? (time - from) / (to - from) : 0;
  if (a[0] !== b[0]) return share < 0.5 ? { storey: a[0], at: [a[1], a[2]] } : { storey: b[0], at: [b[1], b[2]] };
  return { storey: a[0], at: [a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])] };
}

/** Draw a route on a storey, as it stands at a moment. */
export function drawPlayed(source: VectorSource, route: Route | null, storey: string, time: number): void {
  source.clear(true);
  if (!route) return;
  const points = route.points as unknown as [string, number, number][];
  for (let n = 1; n < points.length; n++) {
    const [a, b] = [points[n - 1]!, points[n]!];
    if (a[0] !== storey || b[0] !== storey || (a[1] === b[1] && a[2] === b[2])) continue;
    const middle = ((route.times_s[n - 1] ?? 0) + (route.times_s[n] ?? 0)) / 2;
    const width = THICK - (THICK - THIN) * chanceAt(route, middle);
    source.addFeature(new Feature({ geometry: new LineString([[a[1], a[2]], [b[1], b[2]]]), width, over: false }));
  }
  // Two devices that first notice at one place share a mark.
  const marks = new Map<string, { at: XY; numbers: number[]; seen: boolean }>();
  route.noticings.forEach((noticing, n) => {
    if (noticing.storey_id !== storey) return;
    const [x, y] = noticing.position as XY;
    const key = `${x.toFixed(1)} ${y.toFixed(1)}`;
    const mark = marks.get(key) ?? { at: [x, y] as XY, numbers: [], seen: false };
    mark.numbers.push(n + 1);
    mark.seen ||= noticing.time_s <= time;
    marks.set(key, mark);
  });
  for (const mark of marks.values()) {
    source.addFeature(new Feature({ geometry: new Point(mark.at), label: mark.numbers.join(','), seen: mark.seen }));
  }
  const spot = spotAt(route, time);
  if (spot.storey === storey) source.addFeature(new Feature({ geometry: new Point(spot.at), walker: true }));
}

export function playedStyle(look: Look): (feature: FeatureLike) => Style | Style[] {
  return (feature) => {
    const { ink, paper } = look.ink;
    if (feature.get('walker')) {
      return new Style({
        zIndex: 3,
        image: new RegularShape({ points: 4, radius: 12, fill: new Fill({ color: paper }), stroke: new Stroke({ color: ink, width: 4 }) }),
      });
    }
    const label = feature.get('label') as string | undefined;
    if (label !== undefined) {
      const seen = Boolean(feature.get('seen'));
      return new Style({
        zIndex: 2,
        image: new Circle({ radius: label.length > 2 ? 13 : 10, fill: new Fill({ color: seen ? ink : paper }), stroke: new Stroke({ color: seen ? paper : ink, width: 2 }) }),
        text: new Text({ text: label, font: `600 12px ${FONT}`, fill: new Fill({ color: seen ? paper : ink }), offsetY: 1 }),
      });
    }
    const width = feature.get('width') as number;
    return [
      new Style({ zIndex: 0, stroke: new Stroke({ color: paper, width: width + 4 }) }),
      new Style({ zIndex: 1, stroke: new Stroke({ color: ink, width }) }),
    ];
  };
}
