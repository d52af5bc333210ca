/** A photograph or page of a plan that lies under the storey. */
import ImageLayer from 'ol/layer/Image';
import ImageCanvasSource from 'ol/source/ImageCanvas';
import type { Underlay } from '../api/client';

export class UnderlayPicture {
  readonly layer: ImageLayer<ImageCanvasSource>;
  private picture: HTMLImageElement | null = null;
  private lies: Underlay | null = null;
  private address = '';

  constructor() {
    const source = new ImageCanvasSource({ canvasFunction: (extent, _r, _p, size) => this.paint(extent, size), ratio: 1 });
    this.layer = new ImageLayer({ source });
  }

  show(key: string, underlay: Underlay | undefined): void {
    this.lies = underlay ?? null;
    this.layer.setVisible(Boolean(underlay?.shown));
    this.layer.setOpacity(underlay?.strength ?? 0.5);
    if (!underlay) {
      this.address = '';
      this.picture = null;
    } else {
      const address = `/api/v1/jobs/${key}/pictures/${underlay.picture}`;
      if (address !== this.address) {
        this.address = address;
        const picture = new Image();
        picture.onload = () => this.layer.getSource()?.changed();
        picture.src = address;
        this.picture = picture;
      }
    }
    this.layer.getSource()?.changed();
  }

  private paint(extent: readonly number[], size: readonly number[]): HTMLCanvasElement {
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [Math.round(size[0] ?? 1), Math.round(size[1] ?? 1)];
    const pen = canvas.getContext('2d');
    if (!pen || !this.lies || !this.picture?.complete || !this.picture.naturalWidth) return canvas;
    const { x_m: x, y_m: y, metres_per_pixel: per, turned_rad: turned } = this.lies;
    const scale = canvas.width / ((extent[2] ?? 1) - (extent[0] ?? 0));
    pen.translate((x - (extent[0] ?? 0)) * scale, ((extent[3] ?? 0) - y) * scale);
    pen.rotate(-turned);
    const [w, h] = [this.lies.width_px * per * scale, this.lies.height_px * per * scale];
    pen.drawImage(this.picture, 0, -h, w, h);
    return canvas;
  }
}
