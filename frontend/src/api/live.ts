/** The live channel: the picture while a device is in hand, news of proofs and of other windows. */
import type { FromChannel, ToChannel } from './channel.worker';
import type { MarginMap } from './packed';
import type { components } from './schema';

type Schemas = components['schemas'];
export type LiveAsk = Schemas['LiveAsk'];
export type LiveRoute = Schemas['LiveRoute'];
type News = LiveRoute | Schemas['LiveProof'] | Schemas['LiveChange'] | Schemas['LiveTrouble'];

/** A map with its picture. */
export interface DrawnMap extends MarginMap {
  picture: ImageData;
}

export interface Listener {
  map?: (map: DrawnMap) => void;
  route?: (route: LiveRoute) => void;
  proof?: (state: Schemas['ProofState']) => void;
  changed?: (revision: number) => void;
  trouble?: (message: string) => void;
  open?: (isOpen: boolean) => void;
}

/** One job's channel; opens itself again when the server was away. */
export class Live {
  private readonly channel = new Worker(new URL('./channel.worker.ts', import.meta.url), { type: 'module' });
  private number = 0;

  constructor(
    key: string,
    private readonly listener: Listener,
  ) {
    this.channel.onmessage = (message: MessageEvent<FromChannel>) => this.take(message.data);
    const scheme = location.protocol === 'https:' ? 'wss' : 'ws';
    this.tell({ open: `${scheme}://${location.host}/api/v1/jobs/${key}/live` });
  }

  /** Where the device in hand is now; only the newest place counts. */
  ask(asked: Omit<LiveAsk, 'n'>): number {
    const ask: LiveAsk = { ...asked, n: ++this.number };
    this.tell({ say: JSON.stringify(ask) });
    return this.number;
  }

  close(): void {
    this.tell({ close: true });
  }

  private tell(message: ToChannel): void {
    this.channel.postMessage(message);
  }

  private take(news: FromChannel): void {
    if ('map' in news) this.listener.map?.({ ...news.map, picture: news.picture });
    else if ('text' in news) this.takeText(JSON.parse(news.text) as News);
    else this.listener.open?.(news.open);
  }

  private takeText(news: News): void {
    if (news.kind === 'route') this.listener.route?.(news);
    else if (news.kind === 'proof') this.listener.proof?.(news.state);
    else if (news.kind === 'changed') this.listener.changed?.(news.revision);
    else this.listener.trouble?.(news.message);
  }
}
