/** The job's JSON Schema, read for forms: what a field is, in what unit, and what an id may name. */
import type { Job, Kind } from '../api/client';

export interface Schema {
  type?: string | string[];
  $ref?: string;
  $defs?: Record<string, Schema>;
  anyOf?: Schema[];
  oneOf?: Schema[];
  allOf?: Schema[];
  discriminator?: { propertyName: string; mapping: Record<string, string> };
  enum?: (string | number)[];
  const?: string | number;
  default?: unknown;
  description?: string;
  title?: string;
  properties?: Record<string, Schema>;
  required?: string[];
  items?: Schema;
  prefixItems?: Schema[];
  additionalProperties?: Schema | boolean;
  minimum?: number;
  maximum?: number;
  exclusiveMinimum?: number;
  exclusiveMaximum?: number;
  maxLength?: number;
  pattern?: string;
}

export type Field =
  | { what: 'choice'; options: { value: string | number; words: string }[]; optional: boolean }
  | { what: 'truth'; optional: boolean }
  | { what: 'length' | 'number'; schema: Schema; unit: string; optional: boolean }
  | { what: 'text'; optional: boolean; schema: Schema }
  | { what: 'many'; options: { value: string; words: string }[] }
  | { what: 'lines' }
  | { what: 'record'; schema: Schema; optional: boolean }
  | { what: 'list'; schema: Schema }
  | { what: 'union'; of: { tag: string; schema: Schema }[]; by: string }
  | { what: 'figures' }
  | { what: 'fixed' };

export function resolved(schema: Schema, root: Schema): Schema {
  if (schema.$ref) {
    const { $ref, ...own } = schema;
    return { ...resolved(root.$defs?.[$ref.split('/').at(-1) ?? ''] ?? {}, root), ...own };
  }
  if (schema.allOf?.length === 1) return { ...resolved(schema.allOf[0] as Schema, root), ...schema, allOf: undefined };
  return schema;
}

/** The schema of what is kept at a place of the job, an element's where it is a list. */
export function schemaAt(place: string, root: Schema): Schema {
  let node = root;
  for (const step of place.split('.')) node = resolved(node.properties?.[step] ?? {}, root);
  return node.items ? resolved(node.items, root) : node;
}

const UNITS: [string, string][] = [
  ['_m_s', 'm/s'],
  ['_area_m2', 'mm²'],
  ['_m2', 'm²'],
  ['_ah', 'Ah'],
  ['_dbm', 'dBm'],
  ['_db', 'dB'],
  ['_kg', 'kg'],
  ['_deg', '°'],
  ['_rad', '°'],
  ['_ohm', 'Ω'],
  ['ohm', 'Ω'],
  ['_years', 'years'],
  ['_c', '°C'],
  ['_s', 's'],
  ['_h', 'h'],
  ['_a', 'A'],
  ['_v', 'V'],
  ['_m', 'm'],
];

export function unitOf(name: string): string {
  return UNITS.find(([end]) => name.endsWith(end))?.[1] ?? '';
}

/** What a stored number is multiplied by to be read: angles in degrees, conductors in square millimetres. */
export function scaleOf(name: string): number {
  return name.endsWith('_rad') ? 180 / Math.PI : name.endsWith('_area_m2') ? 1e6 : 1;
}

/** A field's name in words: `set_with_people_inside` → Set with people inside. */
export function fieldWords(name: string): string {
  const unit = UNITS.find(([end]) => end.startsWith('_') && name.endsWith(end));
  const bare = (unit ? name.slice(0, -unit[0].length) + (unit[0] === '_area_m2' ? ' area' : '') : name).replace(/_ids?$/, '').replaceAll('_', ' ');
  return bare.charAt(0).toUpperCase() + bare.slice(1);
}

/** What an id field may name, by the field's name. */
export function namable(name: string, job: Job, kinds: Map<string, Kind>): { value: string; words: string }[] | null {
  const premises = job.premises;
  const of = (list: readonly { id: string; name?: string; kind?: string | null }[] | undefined) =>
    (list ?? []).map((e) => ({ value: e.id, words: e.name || e.id }));
  const devices = () => of(job.design.devices);
  switch (name) {
    case 'storey_id':
    case 'lower_storey_id':
    case 'upper_storey_id':
    case 'joins_storey_id':
      return of(premises.storeys);
    case 'wall_id':
    case 'wall_ids':
      return of(premises.walls);
    case 'room_id':
    case 'room_ids':
    case 'sleeps_in':
      return of(premises.rooms);
    case 'opening_id':
      return of(premises.openings);
    case 'construction_id':
      return of(premises.constructions);
    case 'area_ids':
      return of(job.design.programme.areas);
    case 'cross_zone_id':
      return of(job.design.programme.zones);
    case 'loop_id':
      return of(job.design.loops);
    case 'cable_id':
    case 'cable_ids':
      return of(job.design.cables);
    case 'device_id':
    case 'device_ids':
    case 'receiver_id':
    case 'from_id':
    case 'to_id':
    case 'at':
    case 'contacts':
    case 'entry_path_keypad_ids':
      return devices();
    case 'kind':
      return [...kinds.values()].map((k) => ({ value: k.id, words: k.name }));
    default:
      return null;
  }
}

/** What a field is to be drawn as. */
export function fieldOf(name: string, given: Schema, root: Schema, job: Job, kinds: Map<string, Kind>): Field {
  let schema = resolved(given, root);
  let optional = false;
  if (schema.anyOf) {
    optional = schema.anyOf.some((s) => s.type === 'null');
    const rest = schema.anyOf.filter((s) => s.type !== 'null');
    if (rest.length !== 1) return { what: 'fixed' };
    schema = { ...resolved(rest[0] as Schema, root), description: schema.description, default: schema.default };
  }
  if (schema.oneOf && schema.discriminator) {
    const by = schema.discriminator.propertyName;
    const of = Object.entries(schema.discriminator.mapping).map(([tag, ref]) => ({ tag, schema: resolved({ $ref: ref }, root) }));
    return { what: 'union', of, by };
  }
  if (schema.enum) return { what: 'choice', options: schema.enum.map((v) => ({ value: v, words: String(v) })), optional };
  if (schema.const !== undefined) return { what: 'fixed' };
  if (schema.type === 'boolean') return { what: 'truth', optional };
  if (schema.type === 'number' || schema.type === 'integer') {
    const unit = unitOf(name);
    return { what: unit === 'm' ? 'length' : 'number', schema, unit, optional };
  }
  if (schema.type === 'string') {
    const options = namable(name, job, kinds);
    if (options && schema.pattern) return { what: 'choice', options, optional };
    return { what: 'text', optional, schema };
  }
  if (schema.type === 'object') {
    if (schema.properties) return { what: 'record', schema, optional };
    return { what: 'figures' };
  }
  if (schema.type === 'array' && schema.items) {
    const items = resolved(schema.items, root);
    if (items.enum) return { what: 'many', options: items.enum.map((v) => ({ value: String(v), words: String(v) })) };
    const options = items.type === 'string' ? namable(name, job, kinds) : null;
    if (options) return { what: 'many', options };
    if (items.type === 'string') return { what: 'lines' };
    if (items.properties) return { what: 'list', schema: items };
  }
  return { what: 'fixed' };
}

/** What a new record starts with: the schema's own defaults, and something for what is asked for. */
export function begun(schema: Schema, root: Schema): Record<string, unknown> {
  const made: Record<string, unknown> = {};
  for (const name of schema.required ?? []) {
    const field = resolved(schema.properties?.[name] ?? {}, root);
    if (field.enum) made[name] = field.enum[0];
    else if (field.const !== undefined) made[name] = field.const;
    else if (field.type === 'number' || field.type === 'integer') {
      made[name] = Math.max(field.minimum ?? 0, field.exclusiveMinimum !== undefined ? field.exclusiveMinimum + 1 : 0);
    } else if (field.type === 'array') made[name] = [];
    else if (field.type === 'string') made[name] = '';
    else if (field.type === 'object') made[name] = begun(field, root);
  }
  return made;
}
