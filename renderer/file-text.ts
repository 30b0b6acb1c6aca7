import type { StudyFile } from '../shared/bridge.ts'
import { isStudyFileName } from '../shared/file-name.ts'
import { textOfBytes } from '../shared/text-of-bytes.ts'

/** A file as the import calls take it. */
export type TextFile = { fileName: string; text: string }

/** A chosen or dropped file as the import calls take it. */
export async function readFile(file: File): Promise<TextFile> {
  return { fileName: file.name, text: textOfBytes(new Uint8Array(await file.arrayBuffer())) }
}

export const isStudyFile = (file: File): boolean => isStudyFileName(file.name)

/** A chosen or dropped file with its bytes in base 64. */
export async function bytesOf(file: File): Promise<StudyFile> {
  const bytes = new Uint8Array(await file.arrayBuffer())
  let text = ''
  // A call takes only so many arguments; a multiple of 3 bytes leaves no padding between the pieces.
  const atOnce = 0x6000
  for (let at = 0; at < bytes.length; at += atOnce)
    text += btoa(String.fromCharCode(...bytes.subarray(at, at + atOnce)))
  return { fileName: file.name, bytes: text }
}
