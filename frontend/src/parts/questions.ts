/** The eight questions, until the server's own words have come. */
import type { Finding, Outcome, Question } from '../api/client';

export const QUESTIONS: { key: Question; words: string; short: string }[] = [
  { key: 'entry', words: 'Is every way in watched?', short: 'In' },
  { key: 'route', words: 'Is every way through caught, and how soon?', short: 'Through' },
  { key: 'attack', words: 'What if they attack the system itself?', short: 'Attack' },
  { key: 'power', words: 'Does it keep going, and do the loops tell the truth?', short: 'Power' },
  { key: 'signal', words: 'Is help called in time?', short: 'Signal' },
  { key: 'nuisance', words: 'Will it cry wolf?', short: 'False' },
  { key: 'living', words: 'Can people live with it?', short: 'Living' },
  { key: 'rules', words: 'Does it meet the standard asked for?', short: 'Rules' },
];

/** Outcomes as they are sorted and said: what is wrong first. */
export const OUTCOME_ORDER: { outcome: Outcome; heading: string }[] = [
  { outcome: 'not met', heading: 'Fails' },
  { outcome: 'not decided', heading: 'Open' },
  { outcome: 'met', heading: 'Holds' },
  { outcome: 'does not apply', heading: 'Does not apply' },
];

/** What is open under a question: required claims first, what is only recommended apart. */
export function openWords(findings: readonly Finding[], key: Question): string {
  const open = findings.filter((f) => f.question === key && !f.accepted);
  const of = (outcome: Outcome, required: boolean) =>
    open.filter((f) => f.outcome === outcome && (f.weight === 'required') === required).length;
  const [fails, undecided] = [of('not met', true), of('not decided', true)];
  const lesser = of('not met', false) + of('not decided', false);
  return [fails ? `${fails} fail` : '', undecided ? `${undecided} open` : '', lesser ? `${lesser} to consider` : '']
    .filter(Boolean)
    .join(', ');
}
