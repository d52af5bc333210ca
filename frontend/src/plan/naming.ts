/** What elements are called, and where a family of devices sits. */
import type { Job } from '../api/client';
import { PLACES } from './draw';
import type { Element, Ref } from './draw';

export const ELEMENT_WORDS: Record<Element, string> = {
  wall: 'wall',
  opening: 'opening',
  room: 'room',
  stair: 'stair',
  obstacle: 'obstacle',
  heat: 'heat source',
  bed: 'bed',
  pet: 'pet',
  target: 'target',
  service: 'service point',
  device: 'device',
};

interface Named {
  id: string;
  name?: string;
  kind?: string;
}

export function elementsAt(job: Job, place: string): Named[] {
  const found = place.split('.').reduce<unknown>((node, step) => (node as Record<string, unknown>)[step], job);
  return (found ?? []) as Named[];
}

export function elementOf(ref: Ref, job: Job): Named | undefined {
  return elementsAt(job, PLACES[ref.kind]).find((e) => e.id === ref.id);
}

export function nameOf(ref: Ref, job: Job): string {
  const element = elementOf(ref, job);
  return element?.name || (element?.kind && ref.kind !== 'device' ? `${element.kind} ${ref.id}` : ref.id);
}

/** The name of whatever carries an id; the id itself where nothing does. */
export function nameOfId(id: string, job: Job): string {
  for (const place of Object.values(PLACES)) {
    const found = elementsAt(job, place).find((e) => e.id === id);
    if (found) return found.name || id;
  }
  const storey = job.premises.storeys.find((s) => s.id === id);
  return storey?.name ?? job.design.programme.zones?.find((z) => z.id === id)?.name ?? id;
}

export function sitsOf(family: string | undefined): 'opening' | 'wall' | 'free' {
  if (family === 'contact' || family === 'shock detector') return 'opening';
  if (['smoke alarm input', 'carbon monoxide alarm input', 'flood detector'].includes(family ?? '')) return 'free';
  return 'wall';
}
