/** One job on the desk: as it stands, what is on its way to the server, undo and redo, its proof, its news.
 *
 * Edits are small moves by id. Each is kept in this browser until the server has it on its disk, so neither a reload
 * nor a server that dies loses one; and each rests on a revision, so two windows never overwrite each other. */
import { api, given, NoAnswer, Refused, sendJson, words } from '../api/client';
import type { Catalogue, Job, JobState, Kind, Mode, Move, ProofState, XY } from '../api/client';
import { Live } from '../api/live';
import type { DrawnMap, LiveRoute } from '../api/live';

/** An edit as it is sent: to which address under the job, and with what besides the revision. */
interface Edit {
  what: string;
  to: 'moves' | 'walls' | 'wiring';
  body: Record<string, unknown>;
}

interface Waiting extends Edit {
  /** Revision it was sent on without an answer; 0: not sent yet. */
  sentOn: number;
}

export interface WallsDrawn {
  storey_id: string;
  line: XY[];
  closed: boolean;
  thickness_m: number;
  /** The line runs along the inner faces, as a tape does. */
  inner: boolean;
}

const PROVE_AFTER_MS = 20;
const TRY_AGAIN_MS = 1500;

export class Desk {
  readonly key: string;
  state = $state.raw<JobState | null>(null);
  kinds = $state.raw<Map<string, Kind>>(new Map());
  proof = $state.raw<ProofState | null>(null);
  /** Margin map of the storey in sight, and of the device in hand while one is. */
  map = $state.raw<DrawnMap | null>(null);
  route = $state.raw<LiveRoute | null>(null);
  mode = $state<Mode>('away');
  waiting = $state.raw<Waiting[]>([]);
  answering = $state(true);
  /** An edit that another window got in the way of. */
  crossed = $state.raw<Edit | null>(null);
  /** The last thing that went wrong, for the line of words under the head. */
  trouble = $state('');
  /** The last thing done, said to those who listen rather than look. */
  said = $state('');
  /** Prove by itself after every edit. */
  proving = $state(true);
  live: Live | null = null;

  private sending = false;
  private reserved = new Set<string>();
  private timer: ReturnType<typeof setTimeout> | undefined;
  private closed = false;

  constructor(key: string) {
    this.key = key;
    this.waiting = kept(key);
  }

  get job(): Job | null {
    return this.state?.job ?? null;
  }

  get isSaved(): boolean {
    return this.waiting.length === 0;
  }

  async read(): Promise<void> {
    this.take(await given<JobState>(api.GET('/api/v1/jobs/{key}', { params: { path: { key: this.key } } })));
  }

  async open(): Promise<void> {
    await this.readKinds();
    if (this.closed) return;
    this.live = new Live(this.key, {
      map: (map) => (this.map = map),
      route: (route) => (this.route = route),
      proof: (state) => void this.proofMoved(state),
      changed: (revision) => void this.changedElsewhere(revision),
      trouble: (message) => (this.trouble = message),
      open: (isOpen) => {
        this.answering = isOpen;
        if (isOpen) void this.send();
      },
    });
    this.proof = await given<ProofState>(api.GET('/api/v1/jobs/{key}/proof', { params: { path: { key: this.key } } }));
    if (this.proof.revision !== this.state?.revision) this.proveSoon();
    void this.send();
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.timer);
    this.live?.close();
  }

  /** An id never used in this job: the kind and the next number. */
  fresh(kind: string): string {
    const job = this.job;
    const used = new Set([...(job?.retired_ids ?? []), ...this.reserved]);
    if (job) for (const id of idsIn(job)) used.add(id);
    let n = 1;
    while (used.has(`${kind}-${n}`)) n++;
    this.reserved.add(`${kind}-${n}`);
    return `${kind}-${n}`;
  }

  /** Do something to the job; `follow` has what follows done too: rooms found from the walls, loose ends dropped;
   * `wire` has what is placed wired and programmed. */
  edit(what: string, moves: Move[], follow = false, wire = false): Promise<void> {
    return moves.length ? this.ask({ what, to: 'moves', body: { what, moves, follow, wire } }) : Promise.resolve();
  }

  /** Put up walls where none stand yet; rooms are found by themselves. */
  draw(what: string, walls: WallsDrawn): Promise<void> {
    return this.ask({ what, to: 'walls', body: { what, ...walls } });
  }

  /** Wire and programme what is not yet, by the usual rules. */
  wireUp(): Promise<void> {
    return this.ask({ what: 'wired and programmed', to: 'wiring', body: {} });
  }

  /** The whole job as it is to be, for what has no id to name it by. */
  async replace(what: string, job: Job): Promise<void> {
    if (!this.state || !this.isSaved) return;
    const body = { revision: this.state.revision, what, job };
    const asked = api.PUT('/api/v1/jobs/{key}', { params: { path: { key: this.key } }, body });
    await this.settled(given<JobState>(asked), what);
  }

  /** Take what the server answers to something that changes the job; whether it was done. */
  async settled(asked: Promise<JobState>, what: string): Promise<boolean> {
    try {
      this.after(await asked, `Done: ${what}`);
      return true;
    } catch (error) {
      if (error instanceof Refused && error.refusal.current) this.take(error.refusal.current);
      this.fail(error);
      return false;
    }
  }

  private ask(edit: Edit): Promise<void> {
    this.waiting = [...this.waiting, { ...edit, sentOn: 0 }];
    this.keep();
    return this.send();
  }

  async undo(): Promise<void> {
    await this.step('undo');
  }

  async redo(): Promise<void> {
    await this.step('redo');
  }

  /** Make an edit after all that another window got in the way of. */
  again(): void {
    const crossed = this.crossed;
    this.crossed = null;
    if (crossed) void this.ask(crossed);
  }

  /** Take a state the server answered with, of this job or of a newer revision. */
  take(state: JobState): void {
    if (this.state && state.revision < this.state.revision) return;
    const ownKinds = this.state?.job.own_kinds;
    this.state = state;
    if (ownKinds !== undefined && ownKinds !== state.job.own_kinds) void this.readKinds();
  }

  /** Begin the proof of the job as it stands. */
  async prove(): Promise<void> {
    clearTimeout(this.timer);
    try {
      const asked = api.POST('/api/v1/jobs/{key}/proof', { params: { path: { key: this.key } } });
      await this.proofMoved(await given<ProofState>(asked));
    } catch (error) {
      this.fail(error);
    }
  }

  async stopProof(): Promise<void> {
    this.proving = false;
    try {
      const asked = api.DELETE('/api/v1/jobs/{key}/proof', { params: { path: { key: this.key } } });
      this.proof = { ...(await given<ProofState>(asked)), proof: this.proof?.proof };
    } catch (error) {
      this.fail(error);
    }
  }

  fail(error: unknown): void {
    if (error instanceof NoAnswer) this.answering = false;
    this.trouble = words(error);
  }

  private async step(which: 'undo' | 'redo'): Promise<void> {
    const state = this.state;
    if (!state || !this.isSaved) return;
    const what = which === 'undo' ? state.undo : state.redo;
    try {
      const body = { revision: state.revision };
      const params = { path: { key: this.key } };
      const asked =
        which === 'undo'
          ? api.POST('/api/v1/jobs/{key}/undo', { params, body })
          : api.POST('/api/v1/jobs/{key}/redo', { params, body });
      this.after(await given<JobState>(asked), which === 'undo' ? `Taken back: ${what}` : `Done again: ${what}`);
    } catch (error) {
      if (error instanceof Refused && error.refusal.current) this.take(error.refusal.current);
      this.fail(error);
    }
  }

  private async send(): Promise<void> {
    if (this.sending) return;
    this.sending = true;
    try {
      while (this.waiting.length && this.state) {
        const next = this.waiting[0] as Waiting;
        const revision = this.state.revision;
        if (!(await this.one(next, revision))) break;
        this.waiting = this.waiting.slice(1);
        this.keep();
      }
    } finally {
      this.sending = false;
    }
  }

  /** Send one edit; whether it is settled, done or refused. */
  private async one(next: Waiting, revision: number): Promise<boolean> {
    const sentBefore = next.sentOn;
    next.sentOn = revision;
    this.keep();
    try {
      const state = await sendJson<JobState>(`/api/v1/jobs/${this.key}/${next.to}`, { ...next.body, revision });
      this.after(state, `Done: ${next.what}`);
      this.answering = true;
    } catch (error) {
      if (error instanceof NoAnswer) {
        this.answering = false;
        setTimeout(() => void this.send(), TRY_AGAIN_MS);
        return false;
      }
      if (error instanceof Refused && error.refusal.current) {
        const now = error.refusal.current;
        this.take(now);
        // The answer may have been lost after the edit was on the disk: then the job stands one further, by this edit.
        const wasDone = sentBefore > 0 && now.revision === sentBefore + 1 && now.undo === next.what;
        if (!wasDone) this.crossed = { what: next.what, to: next.to, body: next.body };
        return true;
      }
      this.fail(error);
    }
    return true;
  }

  private after(state: JobState, said: string): void {
    this.trouble = '';
    this.said = said;
    this.take(state);
    this.proveSoon();
  }

  private proveSoon(): void {
    clearTimeout(this.timer);
    const job = this.job;
    if (!this.proving || !job || !job.premises.rooms?.length || !job.design.devices?.length) return;
    this.timer = setTimeout(() => void this.prove(), PROVE_AFTER_MS);
  }

  private async proofMoved(state: ProofState): Promise<void> {
    if (state.state === 'done' && !state.proof) {
      const asked = api.GET('/api/v1/jobs/{key}/proof', { params: { path: { key: this.key } } });
      state = await given<ProofState>(asked).catch(() => state);
    }
    this.proof = { ...state, proof: state.proof ?? this.proof?.proof };
  }

  private async changedElsewhere(revision: number): Promise<void> {
    if (this.sending || !this.state || revision <= this.state.revision) return;
    try {
      await this.read();
    } catch (error) {
      this.fail(error);
    }
  }

  private async readKinds(): Promise<void> {
    const read = await given<Catalogue>(api.GET('/api/v1/jobs/{key}/catalogue', { params: { path: { key: this.key } } }));
    this.kinds = new Map(read.kinds.map((kind) => [kind.id, kind]));
  }

  private keep(): void {
    if (this.waiting.length) localStorage.setItem(slot(this.key), JSON.stringify(this.waiting));
    else localStorage.removeItem(slot(this.key));
  }
}

function slot(key: string): string {
  return `wardwright-waiting-${key}`;
}

function kept(key: string): Waiting[] {
  try {
    return JSON.parse(localStorage.getItem(slot(key)) ?? '[]') as Waiting[];
  } catch {
    return [];
  }
}

function* idsIn(node: unknown): Generator<string> {
  if (Array.isArray(node)) for (const part of node) yield* idsIn(part);
  else if (node && typeof node === 'object') {
    for (const [name, value] of Object.entries(node)) {
      if (name === 'id' && typeof value === 'string') yield value;
      else if (typeof value === 'object') yield* idsIn(value);
    }
  }
}
