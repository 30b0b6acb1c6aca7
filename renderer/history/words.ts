import { count } from '../format.ts'

/** Words of the history of a study or of a run. */
export const words = {
  title: 'History',
  open: 'History',
  steps: 'Steps, the newest first',
  ofRun: (code: string) => `History of ${code}`,
  ofRunOpen: 'History of this run',
  wholeStudy: 'Whole study',
  close: 'Close the history',
  reading: 'Reading the history…',
  none: 'Nothing has been changed yet.',
  earlier: 'Earlier steps',
  undone: 'taken back',
  all: (changes: number) => `All ${count(changes, 'change')}`,
  more: (changes: number) =>
    `${count(changes, 'further record')} not listed here; the CSV file of the history on Report has all.`,
  by: (moment: string, who: string) => `${moment}, ${who}`,
  to: 'to',
}
