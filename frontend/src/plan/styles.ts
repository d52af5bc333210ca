/** How each kind of shape is inked. */
import type Feature from 'ol/Feature';
import type { FeatureLike } from 'ol/Feature';
import { LineString, Point, Polygon } from 'ol/geom';
import { Circle, Fill, RegularShape, Stroke, Style, Text } from 'ol/style';
import type { Opening, XY } from '../api/client';
import type { OpeningLie, Ref } from './draw';
import { FONT } from './ink';
import type { Ink } from './ink';
import { tagIcon } from './tag';

export interface Look {
  ink: Ink;
  selected: Set<string>;
  marked: Set<string>;
}
type StyleOf = (feature: FeatureLike, resolution: number) => Style | Style[];

const refOf = (feature: FeatureLike) => feature.get('ref') as Ref;
const isOn = (set: Set<string>, feature: FeatureLike) => set.has(refOf(feature).id);

export function roomStyle(look: Look): StyleOf {
  return (feature, resolution) => {
    const on = isOn(look.selected, feature) || isOn(look.marked, feature);
    const wide = (feature.getGeometry() as Polygon).getExtent();
    const fits = (wide[2]! - wide[0]!) / resolution > String(feature.get('name')).length * 6;
    return new Style({
      fill: new Fill({ color: on ? `${look.ink.rule}90` : 'rgba(0,0,0,0)' }),
      stroke: on ? new Stroke({ color: look.ink.ink, width: 2, lineDash: [6, 4] }) : undefined,
      text: fits
        ? new Text({
            text: String(feature.get('name')),
            font: `15px ${FONT}`,
            fill: new Fill({ color: look.ink.ink }),
            stroke: new Stroke({ color: look.ink.paper, width: 4 }),
            overflow: true,
          })
        : undefined,
    });
  };
}

export function wallStyle(look: Look): StyleOf {
  return (feature, resolution) => {
    const width = Math.max(2, (feature.get('thickness') as number) / resolution);
    const body = new Style({
      stroke: new Stroke({ color: look.ink.ink, width, lineCap: 'butt', lineJoin: 'miter' }),
    });
    if (!isOn(look.selected, feature) && !isOn(look.marked, feature)) return body;
    return [
      new Style({ stroke: new Stroke({ color: look.ink.ink, width: width + 8, lineCap: 'butt' }) }),
      new Style({ stroke: new Stroke({ color: look.ink.paper, width: width + 4, lineCap: 'butt' }) }),
      body,
    ];
  };
}

export function openingStyle(look: Look): StyleOf {
  return (feature) => {
    const opening = feature.get('opening') as Opening;
    const lie = feature.get('lie') as OpeningLie | undefined;
    const on = isOn(look.selected, feature) || isOn(look.marked, feature);
    const styles = [
      new Style({
        fill: new Fill({ color: look.ink.paper }),
        stroke: new Stroke({
          color: look.ink.ink,
          width: on ? 4 : 1.25,
          lineDash: opening.kind === 'passage' ? [3, 3] : undefined,
        }),
      }),
    ];
    if (!lie) return styles;
    if (opening.kind === 'window') styles.push(thin(look, [end(lie, opening, -1), end(lie, opening, 1)]));
    if (opening.kind === 'door' || opening.kind === 'bulkhead') styles.push(...swing(look, opening, lie));
    return styles;
  };
}

function end(lie: OpeningLie, opening: Opening, sign: number): XY {
  const half = (sign * opening.width_m) / 2;
  return [lie.centre[0] + lie.along[0] * half, lie.centre[1] + lie.along[1] * half];
}

function thin(look: Look, points: XY[]): Style {
  return new Style({
    geometry: new LineString(points),
    stroke: new Stroke({ color: look.ink.ink, width: 1.25 }),
  });
}

/** The leaf at a right angle and its quarter circle, on the indoor side. */
function swing(look: Look, opening: Opening, lie: OpeningLie): Style[] {
  const inward = opening.sides?.[0] === 'outside' ? -1 : 1;
  const hinge = end(lie, opening, -1);
  const [ux, uy] = lie.along;
  const [nx, ny] = [-uy * inward, ux * inward];
  const arc: XY[] = [];
  for (let n = 0; n <= 8; n++) {
    const a = (n * Math.PI) / 16;
    const [c, s] = [Math.cos(a) * opening.width_m, Math.sin(a) * opening.width_m];
    arc.push([hinge[0] + ux * c + nx * s, hinge[1] + uy * c + ny * s]);
  }
  return [
    thin(look, [hinge, arc[arc.length - 1] as XY]),
    new Style({ geometry: new LineString(arc), stroke: new Stroke({ color: look.ink.quiet, width: 1 }) }),
  ];
}

/** Letters of what stands in a room; the strip under the plan spells them out. */
export const MARKS: Record<string, string> = { heat: 'H', bed: 'B', target: 'T' };

export function contentStyle(look: Look): StyleOf {
  return (feature, resolution) => {
    const ref = refOf(feature);
    const on = isOn(look.selected, feature) || isOn(look.marked, feature);
    const edge = new Stroke({ color: look.ink.ink, width: on ? 3 : 1 });
    if (ref.kind === 'obstacle') {
      return new Style({
        fill: new Fill({ color: `${look.ink.rule}80` }),
        stroke: edge,
        text: named(look, String(feature.get('name') ?? ''), resolution, feature),
      });
    }
    if (ref.kind === 'stair') return stairs(look, feature as Feature, resolution, on);
    if (ref.kind === 'service') {
      return new Style({ image: new Circle({ radius: on ? 6 : 3, stroke: edge, fill: new Fill({ color: look.ink.paper }) }) });
    }
    const small = resolution > 0.035 ? 0.6 : 1;
    const shape =
      ref.kind === 'target'
        ? new RegularShape({ points: 4, radius: 13 * small, angle: 0, stroke: edge, fill: new Fill({ color: look.ink.paper }) })
        : new Circle({ radius: 11 * small, stroke: edge, fill: new Fill({ color: look.ink.paper }) });
    return new Style({
      image: shape,
      text: new Text({
        text: MARKS[ref.kind] ?? '',
        font: `600 ${12 * small}px ${FONT}`,
        fill: new Fill({ color: look.ink.ink }),
        offsetY: 1,
      }),
    });
  };
}

function named(look: Look, name: string, resolution: number, feature: FeatureLike): Text | undefined {
  const wide = feature.getGeometry()!.getExtent();
  if ((wide[2]! - wide[0]!) / resolution < name.length * 6) return undefined;
  return new Text({ text: name, font: `12px ${FONT}`, fill: new Fill({ color: look.ink.ink }) });
}

function stairs(look: Look, feature: Feature, resolution: number, on: boolean): Style[] {
  const line = (feature.getGeometry() as LineString).getCoordinates() as XY[];
  const [foot, head] = [line[0] as XY, line[line.length - 1] as XY];
  const length = Math.hypot(head[0] - foot[0], head[1] - foot[1]) || 1;
  const [ux, uy] = [(head[0] - foot[0]) / length, (head[1] - foot[1]) / length];
  const half = (feature.get('width') as number) / 2;
  const styles = [
    new Style({ stroke: new Stroke({ color: look.ink.ink, width: on ? 4 : 1.5 }) }),
    new Style({
      geometry: new Point(head),
      image: new RegularShape({ points: 3, radius: 6, rotation: Math.PI / 2 - Math.atan2(uy, ux), fill: new Fill({ color: look.ink.ink }) }),
      text: new Text({ text: 'up', font: `12px ${FONT}`, fill: new Fill({ color: look.ink.ink }), offsetX: 16 }),
    }),
  ];
  if (resolution > 0.06) return styles;
  for (let at = 0; at <= length; at += 0.25) {
    const [x, y] = [foot[0] + ux * at, foot[1] + uy * at];
    styles.push(thin(look, [[x - uy * half, y + ux * half], [x + uy * half, y - ux * half]]));
  }
  return styles;
}

export function deviceStyle(look: Look): StyleOf {
  return (feature, resolution) => {
    const id = refOf(feature).id;
    const tag = new Style({
      image: tagIcon(
        {
          letters: String(feature.get('letters')),
          radio: Boolean(feature.get('radio')),
          kept: Boolean(feature.get('kept')),
          heading: feature.get('heading') as number | null,
          leaf: feature.get('leaf') as number | null,
          selected: look.selected.has(id),
        },
        look.ink,
        resolution,
      ),
    });
    return look.marked.has(id) ? [ring(look), tag] : tag;
  };
}

function ring(look: Look): Style {
  return new Style({
    image: new Circle({ radius: 22, stroke: new Stroke({ color: look.ink.ink, width: 2, lineDash: [5, 4] }) }),
  });
}

/** What is being drawn: not there yet. */
export function sketchStyle(look: Look): StyleOf {
  return (feature, resolution) => {
    const thickness = feature.get('thickness') as number | undefined;
    const styles = [
      new Style({
        stroke: new Stroke({
          color: thickness ? `${look.ink.ink}80` : look.ink.ink,
          width: thickness ? Math.max(3, thickness / resolution) : 2,
          lineDash: thickness ? undefined : [6, 4],
        }),
        fill: new Fill({ color: `${look.ink.rule}60` }),
        image: new Circle({
          radius: 6,
          stroke: new Stroke({ color: look.ink.ink, width: 2 }),
          fill: new Fill({ color: look.ink.paper }),
        }),
      }),
    ];
    const label = feature.get('label') as string | undefined;
    if (label) {
      styles.push(
        new Style({
          text: new Text({
            text: label,
            font: `600 15px ${FONT}`,
            offsetY: -18,
            overflow: true,
            fill: new Fill({ color: look.ink.ink }),
            stroke: new Stroke({ color: look.ink.paper, width: 5 }),
          }),
        }),
      );
    }
    return styles;
  };
}

/** A route: its width falls as the chance of having been noticed grows. */
export function routeStyle(look: Look): StyleOf {
  return (feature) => {
    const label = feature.get('label') as string | undefined;
    if (label !== undefined) {
      return new Style({
        image: new Circle({ radius: 9, fill: new Fill({ color: look.ink.ink }), stroke: new Stroke({ color: look.ink.paper, width: 2 }) }),
        text: new Text({ text: label, font: `600 12px ${FONT}`, fill: new Fill({ color: look.ink.paper }), offsetY: 1 }),
      });
    }
    const width = (feature.get('width') as number | undefined) ?? 3;
    return [
      new Style({ stroke: new Stroke({ color: look.ink.paper, width: width + 4 }) }),
      new Style({ stroke: new Stroke({ color: look.ink.ink, width, lineDash: [10, 5] }) }),
    ];
  };
}
