/** Lengths as people type and read them: metres, or feet and inches. */
export type LengthUnit = 'm' | 'ft';

const INCH = 0.0254;
const UNITS: Record<string, number> = { m: 1, cm: 0.01, mm: 0.001, ft: 0.3048, "'": 0.3048, in: INCH, '"': INCH };

export const reader = $state<{ unit: LengthUnit }>({
  unit: localStorage.getItem('wardwright-unit') === 'ft' ? 'ft' : 'm',
});

export function readIn(unit: LengthUnit): void {
  reader.unit = unit;
  localStorage.setItem('wardwright-unit', unit);
}

/** Metres, or null where it cannot be read: `4.1`, `410 cm`, `13'6"`, `13 ft 6 1/2`. A bare number is in `unit`. */
export function parseLength(text: string, unit: LengthUnit = reader.unit): number | null {
  const plain = text
    .trim()
    .toLowerCase()
    .replace(/[′’‘]/g, "'")
    .replace(/''|[″”“]/g, '"')
    .replace(/½/g, ' 1/2')
    .replace(/¼/g, ' 1/4')
    .replace(/¾/g, ' 3/4');
  if (!plain) return null;
  const part = /\s*-?\s*(\d+\s*\/\s*\d+|\d*[.,]?\d+(?:\s+\d+\s*\/\s*\d+)?)\s*(m|cm|mm|ft|in|'|")?\.?/y;
  let total = 0;
  let last = '';
  while (part.lastIndex < plain.length) {
    const found = part.exec(plain);
    if (!found) return null;
    const named = found[2] ?? (last === 'ft' || last === "'" ? 'in' : last ? '' : unit);
    const metres = UNITS[named];
    if (metres === undefined) return null;
    total += number(found[1] ?? '') * metres;
    last = named;
    if (part.lastIndex === plain.length) break;
  }
  return Number.isFinite(total) && total <= 10_000 ? total : null;
}

function number(written: string): number {
  return written
    .split(/\s+(?=\d+\s*\/)/)
    .map((piece) => {
      const [over = '', under] = piece.split('/');
      return Number(over.replace(',', '.')) / (under ? Number(under) : 1);
    })
    .reduce((sum, value) => sum + value, 0);
}

/** A length in words: to a centimetre, or to half an inch. */
export function lengthWords(metres: number, unit: LengthUnit = reader.unit): string {
  if (unit === 'm') return `${metres.toFixed(2)} m`;
  const halves = Math.round((Math.abs(metres) / INCH) * 2);
  const feet = Math.floor(halves / 24);
  const rest = halves - feet * 24;
  const half = rest % 2 ? ' 1/2' : '';
  return `${metres < 0 ? '−' : ''}${feet}′-${Math.floor(rest / 2)}${half}″`;
}

/** As it stands in a field one types into. */
export function lengthTyped(metres: number, unit: LengthUnit = reader.unit): string {
  return unit === 'm' ? String(Math.round(metres * 1000) / 1000) : lengthWords(metres, unit).replace('′-', "'").replace('″', '"');
}
