/** The interface of the server, typed from its own description. */
import createClient from 'openapi-fetch';
import type { components, paths } from './schema';

type Schemas = components['schemas'];
export type Job = Schemas['Job'];
export type JobState = Schemas['JobState'];
export type JobLine = Schemas['JobLine'];
export type Move = Schemas['Moves']['moves'][number];
export type Kind = Schemas['KindView'];
export type Catalogue = Schemas['CatalogueView'];
export type Finding = Schemas['FindingView'];
export type Proof = Schemas['ProofView'];
export type ProofState = Schemas['ProofState'];
export type Question = Schemas['Question'];
export type Outcome = Schemas['Outcome'];
export type Mode = Schemas['Mode'];
export type Route = Schemas['Route'];
export type Premises = Schemas['Premises'];
export type Storey = Schemas['Storey'];
export type Wall = Schemas['Wall'];
export type Opening = Schemas['Opening'];
export type Room = Schemas['Room'];
export type Device = Schemas['Device'];
export type Refusal = Schemas['Refusal'];
export type Underlay = Schemas['Underlay'];
export type Proposed = Schemas['ProposalState'];
export type ProposedOffer = Schemas['ProposedView'];
export type Readable = Schemas['Readable'];
export type PictureView = Schemas['PictureView'];
export type Edits = Schemas['EditsView'];
export type TriedEdit = Schemas['EditView'];
export type Sheet = Schemas['SheetView'];
export type Story = Schemas['StoryView'];
export type TableView = Schemas['TableView'];
export type Issued = Schemas['Issued'];
export type PairingCode = Schemas['PairingView'];
export type PairedDevice = Schemas['DeviceView'];
export type Offer = Schemas['OfferView'];
export type XY = [number, number];

/** The server said no, in words. */
export class Refused extends Error {
  readonly refusal: Refusal;
  constructor(refusal: Refusal) {
    super(refusal.where ? `${refusal.where}: ${refusal.message}` : refusal.message);
    this.refusal = refusal;
  }
}

/** Nobody answered: the server is not running, or the network is gone. */
export class NoAnswer extends Error {
  constructor() {
    super('Wardwright does not answer. Is it still running? Nothing is lost: what you did is kept here and sent again.');
  }
}

export const api = createClient<paths>({ baseUrl: '/' });

interface Answer {
  data?: unknown;
  error?: unknown;
  response: Response;
}

/** What the server gave, or its refusal thrown. The type is named by the caller: the client's own loses tuples. */
export async function given<T>(asked: Promise<Answer>): Promise<T> {
  let answer: Answer;
  try {
    answer = await asked;
  } catch {
    throw new NoAnswer();
  }
  if (answer.response.ok) return answer.data as T;
  throw refusedBy(answer.error, answer.response.status);
}

function refusedBy(error: unknown, status: number): Error {
  if (error && typeof error === 'object' && 'message' in error && 'kind' in error) return new Refused(error as Refusal);
  return new Error(`The server answered with ${status}, and no words.`);
}

/** Something sent as JSON to an address that is only known when it is sent. */
export async function sendJson<T>(address: string, body: unknown): Promise<T> {
  return sendFile('POST', address, new Blob([JSON.stringify(body)]), 'application/json');
}

/** A file sent as it is. */
export async function sendFile<T>(method: 'POST' | 'PUT', address: string, file: Blob, type?: string): Promise<T> {
  let response: Response;
  try {
    response = await fetch(address, {
      method,
      body: file,
      headers: { 'Content-Type': type ?? 'application/octet-stream' },
    });
  } catch {
    throw new NoAnswer();
  }
  const answer: unknown = await response.json().catch(() => null);
  if (!response.ok) throw refusedBy(answer, response.status);
  return answer as T;
}

/** A sentence for whatever went wrong. */
export function words(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
