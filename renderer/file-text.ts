import { textOfBytes } from '../shared/text-of-bytes.ts'

/** A file as the import calls take it. */
export type TextFile = { fileName: string; text: string }

/** A chosen or dropped file as the import calls take it. */
export async function readFile(file: File): Promise<TextFile> {
  return { fileName: file.name, text: textOfBytes(new Uint8Array(await file.arrayBuffer())) }
}
