/** Margin maps as they come from the server. */
import type { components } from './schema';

export type MapHead = components['schemas']['LiveMapHead'];

/** One signed byte a cell in steps of half a decibel, row by row from the lowest y. */
export interface MarginMap extends MapHead {
  margin: Int8Array;
  heading: Uint8Array;
}
export const UNSEEN = -127;
export const NO_FLOOR = -128;

export function unpackedMap(packed: ArrayBuffer): MarginMap {
  const length = new DataView(packed).getUint32(0, true);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(packed, 4, length))) as MapHead;
  const cells = head.nx * head.ny;
  return {
    ...head,
    margin: new Int8Array(packed, 4 + length, cells),
    heading: new Uint8Array(packed, 4 + length + cells, cells),
  };
}
