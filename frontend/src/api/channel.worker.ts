/** The live channel's end beside the page: while one drags, browsers put off what comes to the page itself until it has
 * painted. Maps are tinted here too. */
import { tinted } from '../plan/tint';
import { unpackedMap } from './packed';
import type { MarginMap } from './packed';

/** From the page: where to listen, what to say, or to close. */
export type ToChannel = { open: string } | { say: string } | { close: true };
/** To the page. */
export type FromChannel = { open: boolean } | { text: string } | { map: MarginMap; picture: ImageData };

const AGAIN_MS = 1500;
const GONE = 4404;
let socket: WebSocket | null = null;
let waiting: string | null = null;

const tell = (message: FromChannel, moved: Transferable[] = []) => postMessage(message, { transfer: moved });

function open(address: string): void {
  const opened = new WebSocket(address);
  opened.binaryType = 'arraybuffer';
  opened.onopen = () => {
    tell({ open: true });
    send();
  };
  opened.onmessage = (message: MessageEvent<ArrayBuffer | string>) => {
    if (typeof message.data === 'string') return tell({ text: message.data });
    const map = unpackedMap(message.data);
    const picture = tinted(map);
    tell({ map, picture }, [message.data, picture.data.buffer]);
  };
  opened.onclose = (event) => {
    if (socket !== opened || event.code === GONE) return;
    tell({ open: false });
    setTimeout(() => open(address), AGAIN_MS);
  };
  socket = opened;
}

/** Only the newest counts. */
function send(): void {
  if (waiting === null || socket?.readyState !== WebSocket.OPEN) return;
  socket.send(waiting);
  waiting = null;
}

onmessage = (message: MessageEvent<ToChannel>) => {
  const asked = message.data;
  if ('open' in asked) open(asked.open);
  else if ('say' in asked) {
    waiting = asked.say;
    send();
  } else {
    const old = socket;
    socket = null;
    old?.close();
    close();
  }
};
