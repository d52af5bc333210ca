/** Take an element away, with what hangs on it. */
import type { Bench } from '../../job/bench.svelte';
import { PLACES } from '../draw';
import type { Ref } from '../draw';
import { nameOf } from '../naming';

export function removing(bench: Bench, ref: Ref): void {
  const job = bench.desk.job;
  if (!job) return;
  const what = `${nameOf(ref, job)} removed`;
  bench.choose(null);
  void bench.desk.edit(what, [{ do: 'remove', place: PLACES[ref.kind], id: ref.id }], true);
}
