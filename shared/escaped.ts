import { directed } from './right-to-left.ts'

const entities: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

/**
 * A text as it stands in HTML and in SVG, between tags and in attributes alike, without the signs that neither knows or
 * that would turn the direction of what follows.
 */
export function escaped(text: string): string {
  return (
    directed(text)
      // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
      .replaceAll(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '')
      .replaceAll(/[&<>"']/g, (sign) => entities[sign] as string)
  )
}
