/** A margin map as a picture: five tints with lines between them, so that it holds without colour. */
import { NO_FLOOR, UNSEEN } from '../api/packed';
import type { MarginMap } from '../api/packed';
import { MARGIN_COLOURS, MARGIN_STEPS_DB } from './marginScale';

const COLOURS = MARGIN_COLOURS.map((c) => [1, 3, 5].map((n) => parseInt(c.slice(n, n + 2), 16)));
/** Picture points along a cell, while a device is in hand and at rest; between the middles of cells the margin is
 * taken to run evenly. */
const ROUGH = 3;
const FINE = 7;
const FLOOR_DB = -24;
/** The paper shines through a little. */
const OPAQUE = 217;

/** Points of the picture, upwards from the lowest y turned over: its first row is the highest. */
export function tinted(map: MarginMap): ImageData {
  const fine = map.draft ? ROUGH : FINE;
  const [w, h] = [map.nx * fine, map.ny * fine];
  const steps = new Int8Array(w * h);
  for (let v = 0; v < h; v++) {
    for (let u = 0; u < w; u++) steps[v * w + u] = stepAt(map, u, v, fine);
  }
  const picture = new ImageData(w, h);
  for (let v = 0; v < h; v++) {
    for (let u = 0; u < w; u++) {
      const step = steps[v * w + u] as number;
      if (step < 0) continue;
      const right = u + 1 < w ? (steps[v * w + u + 1] as number) : -1;
      const above = v + 1 < h ? (steps[(v + 1) * w + u] as number) : -1;
      const isEdge = (right >= 0 && right !== step) || (above >= 0 && above !== step);
      const [r = 0, g = 0, b = 0] = COLOURS[step] ?? [];
      const dark = isEdge ? 0.55 : 1;
      picture.data.set([r * dark, g * dark, b * dark, OPAQUE], ((h - 1 - v) * w + u) * 4);
    }
  }
  return picture;
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
