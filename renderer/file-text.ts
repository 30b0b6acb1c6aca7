/**
 * Text of a chosen or dropped file: by its byte-order mark, else UTF-8, else the single-byte encoding that
 * older tools write (windows-1252).
 */
export function decodeText(bytes: Uint8Array): string {
  for (const encoding of encodingsOf(bytes)) {
    try {
      return new TextDecoder(encoding, { fatal: true }).decode(bytes)
    } catch {
      // Not in this encoding: the next one is tried.
    }
  }
  return new TextDecoder().decode(bytes)
}

function encodingsOf(bytes: Uint8Array): string[] {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return ['utf-16le']
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return ['utf-16be']
  return ['utf-8', 'windows-1252']
}

/** A chosen file as the import calls take it. */
export async function readFile(file: File): Promise<{ fileName: string; text: string }> {
  return { fileName: file.name, text: decodeText(new Uint8Array(await file.arrayBuffer())) }
}
