import type { BroughtIn } from './contract/calls/study-files.ts'
import { count } from './words.ts'

/** What bringing in the file of a study has come to, in a sentence. */
export const broughtInSentence = ({ runs, readings }: BroughtIn): string =>
  `${count(runs, 'run')} and ${count(readings, 'reading')} came in.`

/** What else there is to know of it, in sentences. */
export function broughtInNotes({ takenOver, left, renamed, repeats }: BroughtIn): string[] {
  return [
    takenOver.length > 0 && `Planned here and made there, now as there: ${takenOver.join(', ')}.`,
    left.length > 0 && `Different there, left as here: ${left.join(', ')}.`,
    renamed.length > 0 &&
      `Code taken here: ${renamed.map(({ from, to }) => `${from} came in as ${to}`).join(', ')}.`,
    repeats > 0 && `${count(repeats, 'reading')} at places read here too: they stand beside as repeats.`,
  ].filter((note) => note !== false)
}
