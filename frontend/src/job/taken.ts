/** What an offer promised when it was taken, so that every edit by hand shows what it gave away. */
import type { ProofState } from '../api/client';

export interface Figures {
  title: string;
  /** Chance to be noticed before the target on the weakest route, with nobody in. */
  chance: number | null;
  /** Longest time to first detection. [s] */
  first_s: number | null;
  /** Required findings that fail. */
  fails: number;
}

const slot = (key: string) => `wardwright-taken-${key}`;

export function figuresOf(title: string, proof: NonNullable<ProofState['proof']>): Figures {
  const away = proof.routes.flatMap((a) => a.routes).filter((r) => r.mode === 'away');
  const firsts = away.flatMap((r) => (r.first_s === null ? [] : [r.first_s]));
  return {
    title,
    chance: away.length ? Math.min(...away.map((r) => r.interval[0])) : null,
    first_s: firsts.length ? Math.max(...firsts) : null,
    fails: proof.findings.filter((f) => f.outcome === 'not met' && f.weight === 'required' && !f.accepted).length,
  };
}

export function keepTaken(key: string, figures: Figures | null): void {
  if (figures) localStorage.setItem(slot(key), JSON.stringify(figures));
  else localStorage.removeItem(slot(key));
}

export function keptTaken(key: string): Figures | null {
  try {
    return JSON.parse(localStorage.getItem(slot(key)) ?? 'null') as Figures | null;
  } catch {
    return null;
  }
}

/** What is worse or better than when the offer was taken, in words; empty where nothing is. */
export function given(was: Figures, now: Figures): string[] {
  const said: string[] = [];
  if (was.chance !== null && now.chance !== null && Math.abs(now.chance - was.chance) >= 0.005) {
    said.push(`weakest route noticed with ${now.chance.toFixed(2)}, it was ${was.chance.toFixed(2)}`);
  }
  if (was.first_s !== null && now.first_s !== null && Math.abs(now.first_s - was.first_s) >= 0.5) {
    said.push(`longest time to first detection ${Math.round(now.first_s)} s, it was ${Math.round(was.first_s)} s`);
  }
  if (now.fails !== was.fails) {
    said.push(now.fails > was.fails ? `${now.fails - was.fails} more required claims fail` : `${was.fails - now.fails} fewer required claims fail`);
  }
  return said;
}
