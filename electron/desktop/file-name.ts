import { basename } from 'node:path'

/** A file name that every system takes, of whatever was suggested. */
export function plainFileName(suggested: string): string {
  const kept = basename(suggested.replaceAll('\\', '/'))
    // biome-ignore lint/suspicious/noControlCharactersInRegex: a name may hold none of them
    .replace(/[\u0000-\u001f<>:"|?*]/g, ' ')
    .trim()
    .slice(0, 150)
  return kept === '' || kept.startsWith('.') ? `evenfilm${kept}` : kept
}
