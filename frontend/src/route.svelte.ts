/** Where the reader is: the part of the address behind #, so that back, reload and a second window work. */
export const STAGES = ['survey', 'design', 'proof', 'papers'] as const;
export type Stage = (typeof STAGES)[number];
export const STAGE_WORDS: Record<Stage, string> = {
  survey: 'Survey',
  design: 'Design',
  proof: 'Proof',
  papers: 'Papers',
};

export interface Place {
  key: string;
  stage: Stage;
  /** What is looked at within the stage: a question, an element, a tool. */
  at: string;
}

function read(): Place {
  const [, kind, key, stage, ...rest] = location.hash.slice(1).split('/');
  if (kind !== 'job' || !key) return { key: '', stage: 'survey', at: '' };
  const known = STAGES.find((s) => s === stage) ?? 'survey';
  return { key, stage: known, at: decodeURIComponent(rest.join('/')) };
}

export const place = $state<Place>(read());

addEventListener('hashchange', () => Object.assign(place, read()));

export function addressOf(key: string, stage: Stage, at = ''): string {
  return `#/job/${key}/${stage}${at ? `/${encodeURIComponent(at)}` : ''}`;
}

export function go(address: string): void {
  location.hash = address;
}
