/** A kind from the catalogue in hand: it follows the pointer, held by walls, corners and openings, with its map. */
import Feature from 'ol/Feature';
import { Point } from 'ol/geom';
import type { Kind } from '../../api/client';
import type { Bench } from '../../job/bench.svelte';
import type { Hit, PlanMap, Tool } from '../PlanMap';
import { snapDevice } from '../snap';
import type { Fixing } from '../snap';
import { sitsOf } from '../naming';

export function placingTool(bench: Bench, plan: PlanMap, kind: Kind, done: (fixed: Fixing) => void): Tool {
  const fixed = (hit: Hit): Fixing | null => {
    const job = bench.desk.job;
    return job ? snapDevice(hit.at, job, bench.storey, sitsOf(kind.family), 16 * hit.resolution) : null;
  };
  return {
    cursor: 'crosshair',
    move(hit) {
      const where = fixed(hit);
      plan.sketch.clear();
      if (!where) return;
      plan.sketch.addFeature(new Feature({ geometry: new Point(where.position), label: kind.tag }));
      bench.hold({
        id: 'in-hand',
        kind: kind.id,
        storey_id: bench.storey,
        position: where.position,
        heading_rad: where.heading_rad ?? 0,
        height_m: mountingHeight(kind),
      });
    },
    click(hit) {
      const where = fixed(hit);
      if (where) done(where);
    },
    leave() {
      plan.sketch.clear();
      bench.letGo();
    },
  };
}

/** The middle of the range a kind is made for; chest height where it has none. [m] */
export function mountingHeight(kind: Kind): number {
  const [low, high] = [kind.figures.mount_low_m, kind.figures.mount_high_m];
  return low !== undefined && high !== undefined ? Math.round(((low + high) / 2) * 100) / 100 : 1.5;
}
