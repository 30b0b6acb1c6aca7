const scripts = ['Hebrew', 'Arabic', 'Syriac', 'Thaana', 'Nko', 'Adlam']
const letters = scripts.map((script) => `\\p{Script=${script}}`).join('')
const words = new RegExp(`[${letters}]+(?:[\\p{M}\\p{Cf} ]*[${letters}]+)*`, 'gu')
const begins = new RegExp(`^[^\\p{L}]*[${letters}]`, 'u')
/** Signs that turn the direction of all that follows; those that mark one place alone (U+200E, U+200F, U+061C) do no harm. */
const turning = /[\u202a-\u202e\u2066-\u2069]/g

/**
 * A line from left to right in which words from right to left are set apart by the isolates of the Unicode bidirectional
 * algorithm (UAX #9), so that numbers and words beside them keep their places.
 */
export const rightToLeftApart = (line: string): string => line.replaceAll(words, '\u2068$&\u2069')

/**
 * A text for a document whose paragraphs take their direction from their first letter: what would turn more than itself
 * is taken out, and words from right to left within a text from left to right are set apart.
 */
export function directed(text: string): string {
  const own = text.replaceAll(turning, '')
  return begins.test(own) ? own : rightToLeftApart(own)
}
