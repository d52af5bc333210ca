/** What is in sight while one works on a job: storey, what is chosen, what is marked, which tool is in hand. */
import { api, given, Refused } from '../api/client';
import type { Device, Underlay } from '../api/client';
import { unpackedMap } from '../api/packed';
import { tinted } from '../plan/tint';
import type { Schema } from '../forms/schema';
import type { Ref } from '../plan/draw';
import type { PlanMap, Tool } from '../plan/PlanMap';
import type { Stage } from '../route.svelte';
import { Desk } from './desk.svelte';
import { keepTaken, keptTaken } from './taken';
import type { Figures } from './taken';

/** Families the margin map is made of. */
const LOOKS = new Set(['motion detector', 'dual-technology detector', 'photo-beam']);
export type Held = Pick<Device, 'id' | 'kind' | 'storey_id' | 'position' | 'heading_rad' | 'height_m'>;

export class Bench {
  readonly desk: Desk;
  plan: PlanMap | null = $state.raw(null);
  stage: Stage = $state('survey');
  storey = $state('');
  selected: Ref | null = $state.raw(null);
  /** Ids a finding is about. */
  marked: string[] = $state.raw([]);
  /** Name of the tool in hand; empty: choose and move. */
  tool = $state('');
  showsMap = $state(false);
  /** The job's JSON Schema, which forms are made from. */
  schema: Schema = $state.raw({});

  /** What the live channel was asked last: the same place is not asked for twice. */
  private asked = '';
  /** What the offer taken last promised. */
  taken = $state.raw<Figures | null>(null);
  private reading = false;
  private readAgain = false;

  constructor(key: string) {
    this.desk = new Desk(key);
    this.taken = keptTaken(key);
  }

  async open(): Promise<void> {
    await this.desk.read();
    this.storey = this.desk.job?.premises.storeys[0]?.id ?? '';
    await this.desk.open();
    this.schema = await given<Schema>(api.GET('/api/v1/schema'));
  }

  /** The picture under the storey in sight. */
  get underlay(): Underlay | undefined {
    return this.desk.job?.underlays?.find((u) => u.storey_id === this.storey);
  }

  /** An offer was taken: what it promises is kept, until nobody compares any more. */
  tookOffer(promise: Figures | null): void {
    this.taken = promise;
    keepTaken(this.desk.key, promise);
  }

  /** Take a tool in hand, or with none go back to choosing. */
  take(name: string, tool: Tool | null): void {
    this.tool = name;
    this.plan?.take(tool);
  }

  choose(ref: Ref | null): void {
    this.selected = ref;
  }

  /** A device in hand, where it is now: map and worst route follow it. */
  hold(device: Held): void {
    if (!LOOKS.has(this.desk.kinds.get(device.kind)?.family ?? '')) return;
    this.showsMap = true;
    const { id, kind, storey_id, position, heading_rad, height_m } = device;
    const asked = { mode: this.desk.mode, device: { id, kind, storey_id, position, heading_rad, height_m } };
    const place = JSON.stringify(asked);
    if (place === this.asked) return;
    this.asked = place;
    this.desk.live?.ask(asked);
  }

  /** Nothing in hand any more: the map of the job as it stands. */
  letGo(): void {
    if (this.showsMap) void this.readMap();
  }

  /** The map of the job as it stands; asked for once more at the end where it was asked for meanwhile. */
  async readMap(): Promise<void> {
    this.asked = '';
    if (this.reading) {
      this.readAgain = true;
      return;
    }
    this.reading = true;
    await this.readOnce();
    this.reading = false;
    if (this.readAgain) {
      this.readAgain = false;
      await this.readMap();
    }
  }

  private async readOnce(): Promise<void> {
    const params = { path: { key: this.desk.key, storey_id: this.storey }, query: { mode: this.desk.mode } };
    try {
      const packed = await given<ArrayBuffer>(
        api.GET('/api/v1/jobs/{key}/maps/{storey_id}', { params, parseAs: 'arrayBuffer' }),
      );
      const map = unpackedMap(packed);
      this.desk.map = { ...map, picture: tinted(map) };
    } catch (error) {
      this.desk.map = null;
      if (!(error instanceof Refused)) this.desk.fail(error);
    }
  }

  /** Show what a finding is about: mark it, on its storey, in sight. */
  point(ids: string[]): void {
    this.marked = ids;
    const storey = ids.map((id) => this.storeyOf(id)).find((s) => s);
    if (storey) this.storey = storey;
    // The plan takes over the storey first.
    setTimeout(() => this.plan?.fitTo(ids));
  }

  /** The storey an element is on; empty where it is on none. */
  storeyOf(id: string): string {
    const job = this.desk.job;
    if (!job) return '';
    const premises = job.premises;
    if (premises.storeys.some((s) => s.id === id)) return id;
    const lying = [
      ...(premises.walls ?? []),
      ...(premises.rooms ?? []),
      ...(premises.obstacles ?? []),
      ...(premises.heat_sources ?? []),
      ...(premises.services ?? []),
      ...(job.design.devices ?? []),
    ].find((e) => e.id === id);
    if (lying) return lying.storey_id;
    const inRoom = [...(premises.beds ?? []), ...(premises.targets ?? [])].find((e) => e.id === id);
    if (inRoom) return this.storeyOf(inRoom.room_id);
    const stair = premises.stairs?.find((s) => s.id === id);
    if (stair) return stair.lower_storey_id;
    const opening = premises.openings?.find((o) => o.id === id);
    if (!opening) return '';
    return opening.place.kind === 'wall' ? this.storeyOf(opening.place.wall_id) : opening.place.storey_id;
  }
}
