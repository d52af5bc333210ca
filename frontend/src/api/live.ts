/** The live channel: the picture while a device is in hand, news of proofs and of other windows. */
import type { components } from './schema';

type Schemas = components['schemas'];
export type MapHead = Schemas['LiveMapHead'];
export type LiveAsk = Schemas['LiveAsk'];
export type LiveRoute = Schemas['LiveRoute'];
type News = LiveRoute | Schemas['LiveProof'] | Schemas['LiveChange'] | Schemas['LiveTrouble'];

/** A margin map: one signed byte a cell in steps of half a decibel, row by row from the lowest y. */
export interface MarginMap extends MapHead {
  margin: Int8Array;
  heading: Uint8Array;
}
export const UNSEEN = -127;
export const NO_FLOOR = -128;

export interface Listener {
  map?: (map: MarginMap) => void;
  route?: (route: LiveRoute) => void;
  proof?: (state: Schemas['ProofState']) => void;
  changed?: (revision: number) => void;
  trouble?: (message: string) => void;
  open?: (isOpen: boolean) => void;
}

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

/** One job's channel; opens itself again when the server was away. */
export class Live {
  private socket: WebSocket | null = null;
  private closed = false;
  private waiting: LiveAsk | null = null;
  private number = 0;
  private again: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly key: string,
    private readonly listener: Listener,
  ) {
    this.open();
  }

  /** Where the device in hand is now; only the newest place counts. */
  ask(asked: Omit<LiveAsk, 'n'>): number {
    this.waiting = { ...asked, n: ++this.number };
    this.send();
    return this.number;
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.again);
    this.socket?.close();
  }

  private open(): void {
    const scheme = location.protocol === 'https:' ? 'wss' : 'ws';
    const socket = new WebSocket(`${scheme}://${location.host}/api/v1/jobs/${this.key}/live`);
    socket.binaryType = 'arraybuffer';
    socket.onopen = () => {
      this.listener.open?.(true);
      this.send();
    };
    socket.onmessage = (message: MessageEvent<ArrayBuffer | string>) => this.take(message.data);
    socket.onclose = (event) => {
      if (this.closed || event.code === 4404) return;
      this.listener.open?.(false);
      this.again = setTimeout(() => this.open(), 1500);
    };
    this.socket = socket;
  }

  private send(): void {
    if (!this.waiting || this.socket?.readyState !== WebSocket.OPEN) return;
    this.socket.send(JSON.stringify(this.waiting));
    this.waiting = null;
  }

  private take(data: ArrayBuffer | string): void {
    if (typeof data !== 'string') {
      this.listener.map?.(unpackedMap(data));
      return;
    }
    const news = JSON.parse(data) as News;
    if (news.kind === 'route') this.listener.route?.(news);
    else if (news.kind === 'proof') this.listener.proof?.(news.state);
    else if (news.kind === 'changed') this.listener.changed?.(news.revision);
    else this.listener.trouble?.(news.message);
  }
}
