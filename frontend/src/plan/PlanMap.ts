/** The plan: a flat plane in metres with the storey on it, and one tool in hand. */
import Feature from 'ol/Feature';
import OlMap from 'ol/Map';
import View from 'ol/View';
import type MapBrowserEvent from 'ol/MapBrowserEvent';
import { ScaleLine } from 'ol/control';
import { createEmpty, extend, isEmpty } from 'ol/extent';
import { LineString, Point } from 'ol/geom';
import type { Geometry } from 'ol/geom';
import { defaults as interactions, Pointer } from 'ol/interaction';
import ImageLayer from 'ol/layer/Image';
import VectorLayer from 'ol/layer/Vector';
import { Projection } from 'ol/proj';
import VectorSource from 'ol/source/Vector';
import type { Job, Kind, Underlay, XY } from '../api/client';
import type { DrawnMap, LiveRoute } from '../api/live';
import { shapesOf } from './draw';
import type { Element, Ref } from './draw';
import { inkOfPage } from './ink';
import { MarginPicture } from './margin';
import { playedStyle } from './played';
import { contentStyle, deviceStyle, openingStyle, roomStyle, routeStyle, sketchStyle, wallStyle } from './styles';
import type { Look } from './styles';
import { forgetTags } from './tag';
import { UnderlayPicture } from './underlay';

const PLANE = new Projection({ code: 'PLAN', units: 'm', extent: [-5000, -5000, 5000, 5000], global: false });
/** A mouse may tell a thousand moves a second. */
const AT_ONCE_MS = 6;
const START: [number, number, number, number] = [-2, -2, 12, 9];

/** What a tool is told. */
export interface Hit {
  at: XY;
  /** What lies under the pointer, topmost first. */
  refs: Ref[];
  /** Metres in one pixel, for distances that are meant on the screen. */
  resolution: number;
  shift: boolean;
}

/** The tool in hand. `down` answers whether it takes the drag; else the plan is panned. */
export interface Tool {
  cursor?: string;
  move?: (hit: Hit) => void;
  down?: (hit: Hit) => boolean;
  drag?: (hit: Hit) => void;
  up?: (hit: Hit) => void;
  click?: (hit: Hit) => void;
  /** A key while the plan has the focus; answers whether it was for the tool. */
  key?: (event: KeyboardEvent) => boolean;
  leave?: () => void;
}

export class PlanMap {
  readonly map: OlMap;
  readonly sketch = new VectorSource();
  readonly routes = new VectorSource();
  /** A route being played. */
  readonly played = new VectorSource();
  /** Number of the live map last painted, and when: what the drag is measured by. */
  painted = { n: 0, at: 0 };
  private readonly look: Look = { ink: inkOfPage(), selected: new Set(), marked: new Set() };
  private readonly sources: Record<'rooms' | 'walls' | 'openings' | 'contents' | 'devices', VectorSource>;
  private readonly layers: VectorLayer[] = [];
  private readonly margin: MarginPicture;
  private readonly underlay = new UnderlayPicture();
  private readonly dark = matchMedia('(prefers-color-scheme: dark)');
  private tool: Tool | null = null;
  private dragging = false;
  private toldAt = 0;
  /** Centre and resolution the plan was last fitted to. */
  private fitted: [number, number, number] = [0, 0, 0];
  /** The storey in sight. */
  storey = '';
  private readonly onTheme = () => {
    this.look.ink = inkOfPage();
    forgetTags();
    for (const layer of this.layers) layer.changed();
  };

  constructor(target: HTMLElement) {
    this.margin = new MarginPicture((n) => (this.painted = { n, at: performance.now() }));
    const source = () => new VectorSource();
    this.sources = { rooms: source(), walls: source(), openings: source(), contents: source(), devices: source() };
    const layer = (from: VectorSource, style: ReturnType<typeof wallStyle>, declutter = false) => {
      const made = new VectorLayer({ source: from, style, updateWhileInteracting: true, updateWhileAnimating: true, declutter });
      this.layers.push(made);
      return made;
    };
    this.map = new OlMap({
      target,
      layers: [
        this.underlay.layer,
        new ImageLayer({ source: this.margin.source }),
        layer(this.sources.rooms, roomStyle(this.look)),
        layer(this.sources.contents, contentStyle(this.look)),
        layer(this.sources.walls, wallStyle(this.look)),
        layer(this.sources.openings, openingStyle(this.look)),
        layer(this.routes, routeStyle(this.look)),
        layer(this.sources.devices, deviceStyle(this.look)),
        layer(this.played, playedStyle(this.look)),
        layer(this.sketch, sketchStyle(this.look)),
      ],
      view: new View({
        projection: PLANE,
        center: [5, 3.5],
        resolution: 0.02,
        minResolution: 0.001,
        maxResolution: 0.5,
        enableRotation: false,
      }),
      controls: [new ScaleLine({ units: 'metric' })],
      interactions: interactions({ doubleClickZoom: false, altShiftDragRotate: false, pinchRotate: false, shiftDragZoom: false, keyboard: false }),
    });
    this.map.getView().fit(START, { padding: this.isSmall ? [56, 20, 36, 20] : [64, 48, 56, 48] });
    this.map.addInteraction(
      new Pointer({
        handleMoveEvent: (event) => this.moved(event),
        handleDownEvent: (event) => (this.dragging = this.tool?.down?.(this.hit(event)) ?? false),
        handleDragEvent: (event) => this.tool?.drag?.(this.hit(event)),
        handleUpEvent: (event) => {
          this.dragging = false;
          this.tool?.up?.(this.hit(event));
          return false;
        },
      }),
    );
    target.addEventListener('pointerrawupdate', (event) => this.movedAtOnce(event as PointerEvent));
    this.map.on('click', (event) => this.tool?.click?.(this.hit(event)));
    this.dark.addEventListener('change', this.onTheme);
    void document.fonts.ready.then(this.onTheme);
  }

  close(): void {
    this.dark.removeEventListener('change', this.onTheme);
    this.map.setTarget(undefined);
  }

  /** Show a storey of the job as it stands, with its devices or without. */
  show(job: Job, kinds: Map<string, Kind>, storey: string, withDevices: boolean): void {
    if (!storey) return;
    const shapes = shapesOf(job, kinds, storey);
    for (const name of ['rooms', 'walls', 'openings', 'contents', 'devices'] as const) {
      this.sources[name].clear(true);
      if (name !== 'devices' || withDevices) this.sources[name].addFeatures(shapes[name]);
    }
    const isNew = this.storey !== storey;
    this.storey = storey;
    if (isNew) this.fit();
  }

  setMargin(map: DrawnMap | null): void {
    this.margin.show(map && map.storey_id === this.storey ? map : null);
  }

  setUnderlay(key: string, underlay: Underlay | undefined): void {
    this.underlay.show(key, underlay);
  }

  /** Draw a route, as far as it runs on this storey, with a numbered dot where each device first notices. */
  setRoute(route: LiveRoute['route']): void {
    this.routes.clear(true);
    if (!route) return;
    const points = route.points as unknown as [string, number, number][];
    const here = points.filter((p) => p[0] === this.storey).map((p) => [p[1], p[2]]);
    if (here.length > 1) this.routes.addFeature(new Feature({ geometry: new LineString(here), width: 4 }));
    if (route.first_at && route.first_at[0] === this.storey) {
      const at = [Number(route.first_at[1]), Number(route.first_at[2])];
      this.routes.addFeature(new Feature({ geometry: new Point(at), label: '1' }));
    }
  }

  select(ids: readonly string[]): void {
    this.look.selected = new Set(ids);
    for (const layer of this.layers) layer.changed();
  }

  /** Mark what a finding is about. */
  mark(ids: readonly string[]): void {
    this.look.marked = new Set(ids);
    for (const layer of this.layers) layer.changed();
  }

  take(tool: Tool | null): void {
    this.tool?.leave?.();
    this.sketch.clear();
    this.tool = tool;
    const target = this.map.getTargetElement();
    if (target) target.style.cursor = tool?.cursor ?? '';
  }

  /** A key pressed on the plan: the tool's, else pan and zoom. */
  key(event: KeyboardEvent): boolean {
    if (this.tool?.key?.(event)) return true;
    const view = this.map.getView();
    const step = 60 * (view.getResolution() ?? 0.02);
    const pan: Record<string, XY> = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
    const by = pan[event.key];
    if (by) view.adjustCenter(by);
    else if (event.key === '+' || event.key === '=') view.adjustZoom(0.5);
    else if (event.key === '-') view.adjustZoom(-0.5);
    else return false;
    return true;
  }

  /** Bring the whole storey into sight. */
  fit(): void {
    const whole = createEmpty();
    for (const source of Object.values(this.sources)) {
      const around = source.getFeatures().length ? source.getExtent() : null;
      if (around) extend(whole, around);
    }
    this.map.updateSize();
    this.map.getView().fit(isEmpty(whole) ? START : whole, { padding: this.isSmall ? [56, 20, 36, 20] : [64, 48, 56, 48], minResolution: 0.008 });
    const [x, y] = this.map.getView().getCenter() ?? [0, 0];
    this.fitted = [x ?? 0, y ?? 0, this.map.getView().getResolution() ?? 0];
  }

  /** The window changed: the whole storey stays in sight if it was. */
  resized(): void {
    this.map.updateSize();
    const view = this.map.getView();
    const [x, y] = view.getCenter() ?? [0, 0];
    if (view.getResolution() === this.fitted[2] && x === this.fitted[0] && y === this.fitted[1]) this.fit();
  }

  /** Bring some elements into sight. */
  fitTo(ids: readonly string[]): void {
    const whole = createEmpty();
    for (const feature of this.features()) {
      const geometry = feature.getGeometry();
      if (geometry && ids.includes((feature.get('ref') as Ref).id)) extend(whole, geometry.getExtent());
    }
    if (isEmpty(whole)) return;
    this.map.getView().fit(whole, { padding: [96, 96, 96, 96], minResolution: 0.012, duration: 0 });
  }

  private get isSmall(): boolean {
    return (this.map.getSize()?.[0] ?? 800) < 500;
  }

  *features(): Generator<Feature<Geometry>> {
    for (const source of Object.values(this.sources)) yield* source.getFeatures();
  }

  /** The feature of an element. */
  feature(kind: Element, id: string): Feature<Geometry> | undefined {
    for (const feature of this.features()) if (feature.getId() === `${kind}:${id}`) return feature;
    return undefined;
  }

  /** Where a point of the plane is on the page: for tests and for words placed over the plan. */
  pixelAt(at: XY): XY {
    this.map.renderSync();
    const box = this.map.getTargetElement()?.getBoundingClientRect();
    const pixel = this.map.getPixelFromCoordinate(at);
    if (!box || !pixel) return [0, 0];
    return [box.left + (pixel[0] ?? 0), box.top + (pixel[1] ?? 0)];
  }

  /** Where an element is on the page. */
  pixelOf(id: string): XY | null {
    for (const feature of this.features()) {
      if ((feature.get('ref') as Ref).id !== id) continue;
      const extent = feature.getGeometry()?.getExtent();
      if (extent) return this.pixelAt([(extent[0]! + extent[2]!) / 2, (extent[1]! + extent[3]!) / 2]);
    }
    return null;
  }

  private moved(event: MapBrowserEvent): void {
    if (!event.dragging) this.tool?.move?.(this.hit(event));
  }

  /** Browsers keep moves of the pointer for the next frame; some tell them at once as well, and a drag gains half a
   * frame. */
  private movedAtOnce(event: PointerEvent): void {
    if (!this.dragging || performance.now() - this.toldAt < AT_ONCE_MS) return;
    this.toldAt = performance.now();
    const pixel = this.map.getEventPixel(event);
    const coordinate = this.map.getCoordinateFromPixel(pixel);
    if (coordinate) this.tool?.drag?.(this.hit({ pixel, coordinate, originalEvent: event }));
  }

  private hit(event: Pick<MapBrowserEvent, 'pixel' | 'coordinate' | 'originalEvent'>): Hit {
    const original = event.originalEvent as PointerEvent;
    const under = () => this.under(event.pixel, original.pointerType === 'touch' ? 14 : 5);
    return {
      at: event.coordinate as XY,
      get refs() {
        return under(); // looked for only where it is asked for: not at every step of a drag
      },
      resolution: this.map.getView().getResolution() ?? 0.02,
      shift: original.shiftKey,
    };
  }

  private under(pixel: number[], hitTolerance: number): Ref[] {
    const refs: Ref[] = [];
    this.map.forEachFeatureAtPixel(
      pixel,
      (feature) => {
        const ref = feature.get('ref') as Ref | undefined;
        if (ref && !refs.some((r) => r.id === ref.id)) refs.push(ref);
      },
      { hitTolerance },
    );
    return refs;
  }
}
