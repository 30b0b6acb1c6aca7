/**
 * The text of a file whose encoding nothing says: UTF-8 or UTF-16 by its byte-order mark, UTF-16 without one
 * where every other byte is zero as in plain Latin letters, UTF-8 where the bytes are valid, otherwise Latin-1
 * as Windows writes it. The mark itself is no part of the text.
 */
export function textOfBytes(bytes: Uint8Array): string {
  const [first, second] = bytes
  if (first === 0xff && second === 0xfe) return decode(bytes, 'utf-16le')
  if (first === 0xfe && second === 0xff) return decode(bytes, 'utf-16be')
  const wide = unmarkedUtf16(bytes)
  if (wide) return decode(bytes, wide)
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return decode(bytes, 'windows-1252')
  }
}

const decode = (bytes: Uint8Array, encoding: string) => new TextDecoder(encoding).decode(bytes)

/** How much of a file is looked at, bytes. */
const sample = 1000

function unmarkedUtf16(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  const pairs = Math.floor(Math.min(bytes.length, sample) / 2)
  if (pairs < 2) return null
  let low = 0
  let high = 0
  for (let i = 0; i < pairs; i++) {
    if (bytes[2 * i] === 0) high++
    if (bytes[2 * i + 1] === 0) low++
  }
  if (low > 0.7 * pairs && high === 0) return 'utf-16le'
  return high > 0.7 * pairs && low === 0 ? 'utf-16be' : null
}
