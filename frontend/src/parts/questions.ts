/** The eight questions, until the server's own words have come. */
import type { Outcome, Question } from '../api/client';

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
export const OUTCOME_ORDER: { outcome: Outcome; word: string; heading: string }[] = [
  { outcome: 'not met', word: 'fail', heading: 'Fails' },
  { outcome: 'not decided', word: 'open', heading: 'Open' },
  { outcome: 'met', word: 'hold', heading: 'Holds' },
  { outcome: 'does not apply', word: 'n/a', heading: 'Does not apply' },
];
