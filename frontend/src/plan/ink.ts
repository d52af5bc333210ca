/** Ink for the canvas: the page's own colours, read again when the reader goes from light to dark. */
export interface Ink {
  paper: string;
  raised: string;
  ink: string;
  quiet: string;
  rule: string;
  edge: string;
  met: string;
  notMet: string;
  notDecided: string;
}

export function inkOfPage(): Ink {
  const style = getComputedStyle(document.documentElement);
  const of = (name: string) => style.getPropertyValue(`--${name}`).trim();
  return {
    paper: of('paper'),
    raised: of('raised'),
    ink: of('ink'),
    quiet: of('quiet'),
    rule: of('rule'),
    edge: of('edge'),
    met: of('met'),
    notMet: of('not-met'),
    notDecided: of('not-decided'),
  };
}

export const FONT = "'Source Sans 3', system-ui, sans-serif";
