import { textOfBytes } from '../shared/text-of-bytes.ts'

/** A chosen or dropped file as the import calls take it. */
export async function readFile(file: File): Promise<{ fileName: string; text: string }> {
  return { fileName: file.name, text: textOfBytes(new Uint8Array(await file.arrayBuffer())) }
}
