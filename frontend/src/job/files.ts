/** The building's file a job was made from, kept while the page is open, so that it can be read again in another unit. */
const read = new Map<string, File>();

export function keepFile(key: string, file: File): void {
  read.set(key, file);
}

export function fileOf(key: string): File | undefined {
  return read.get(key);
}
