/** A device's tag: a small square with the trade's letters; a notch on the side it faces, a triangle to its leaf. */
import Icon from 'ol/style/Icon';
import { FONT } from './ink';
import type { Ink } from './ink';

export interface TagLook {
  letters: string;
  radio: boolean;
  kept: boolean;
  /** Direction it faces, anticlockwise from +x; null where it faces nowhere. */
  heading: number | null;
  /** Direction of the leaf it sits on. */
  leaf: number | null;
  selected: boolean;
}

const SIDE = 20;
const ROOM = 52;
const drawn = new Map<string, HTMLCanvasElement>();

export function forgetTags(): void {
  drawn.clear();
}

export function tagIcon(look: TagLook, ink: Ink, resolution: number): Icon {
  const turn = look.heading === null ? null : Math.round((look.heading * 180) / Math.PI / 5) * 5;
  const leaf = look.leaf === null ? null : Math.round((look.leaf * 180) / Math.PI / 15) * 15;
  const name = [look.letters, look.radio, look.kept, turn, leaf, look.selected].join();
  let canvas = drawn.get(name);
  if (!canvas) {
    canvas = paint({ ...look, heading: turn === null ? null : (turn * Math.PI) / 180 }, ink);
    drawn.set(name, canvas);
  }
  // A whole house on a phone: tags give way to the walls, and grow again as one comes nearer.
  return new Icon({ img: canvas, scale: resolution > 0.035 ? 0.36 : 0.5 });
}

function paint(look: TagLook, ink: Ink): HTMLCanvasElement {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = ROOM * 2;
  const pen = canvas.getContext('2d');
  if (!pen) return canvas;
  pen.scale(2, 2);
  pen.translate(ROOM / 2, ROOM / 2);
  const width = Math.max(SIDE, look.letters.length * 7 + 6);
  const [w, h] = [width / 2, SIDE / 2];
  pen.strokeStyle = ink.ink;
  pen.lineWidth = 1.5;
  if (look.heading !== null) pointer(pen, look.heading, w, h, 9, 5, ink.ink);
  if (look.leaf !== null) pointer(pen, look.leaf, w, h, 6, 6, ink.ink);
  pen.fillStyle = ink.paper;
  if (look.selected) {
    pen.fillRect(-w - 4, -h - 4, width + 8, SIDE + 8);
    pen.strokeRect(-w - 4, -h - 4, width + 8, SIDE + 8);
  }
  pen.fillRect(-w, -h, width, SIDE);
  if (look.radio) pen.setLineDash([3, 2]);
  pen.strokeRect(-w, -h, width, SIDE);
  pen.setLineDash([]);
  pen.fillStyle = ink.ink;
  pen.font = `600 12px ${FONT}`;
  pen.textAlign = 'center';
  pen.textBaseline = 'middle';
  pen.fillText(look.letters, 0, look.kept ? -1 : 1);
  if (look.kept) pen.fillRect(-w + 4, h - 4, width - 8, 1.5);
  return canvas;
}

function pointer(
  pen: CanvasRenderingContext2D,
  angle: number,
  w: number,
  h: number,
  length: number,
  half: number,
  ink: string,
): void {
  const [cos, sin] = [Math.cos(angle), -Math.sin(angle)];
  const reach = Math.min(w / Math.max(Math.abs(cos), 1e-6), h / Math.max(Math.abs(sin), 1e-6));
  pen.beginPath();
  pen.moveTo(cos * (reach + length), sin * (reach + length));
  pen.lineTo(cos * (reach - 2) - sin * half, sin * (reach - 2) + cos * half);
  pen.lineTo(cos * (reach - 2) + sin * half, sin * (reach - 2) - cos * half);
  pen.closePath();
  pen.fillStyle = ink;
  pen.fill();
}
