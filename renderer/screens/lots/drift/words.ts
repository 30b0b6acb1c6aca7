import type { TrendMeasure } from '../../../../shared/contract/results/drift.ts'
import { count } from '../../../format.ts'

/** Words of the drift of a kept recipe. */
export const words = {
  noRecipe: 'No recipe is kept yet',
  noRecipeWords:
    'Drift is watched by monitor runs of a kept recipe: one wafer a session, made and read as always. Keep the recipe for ' +
    'the target on Next; then plan its monitor runs here.',
  keepRecipe: 'Keep a recipe on Next',
  recipe: 'Recipe',
  version: (name: string, version: number) => `${name}, version ${version}`,
  reading: 'Reading the recipes',
  plan: {
    readings: (n: number) => `${count(n, 'reading')}, one a session; no part of the fits.`,
    waits: (code: string) => `${code} waits on Bench`,
    save: 'Save as CSV',
    plan: 'Plan a monitor run',
    planned: (code: string, session: string) => `Monitor run ${code} is planned, in ${session}.`,
  },
  choice: {
    rules: 'Rules',
    from: 'Limits from reading',
    to: 'To reading',
    manyRules:
      'Each further rule finds a change sooner, and alarms more often for nothing: the chance of a false alarm is said ' +
      'beside the charts. Two rules are enough for most recipes.',
    inUse: (from: number, to: number) => `${from} to ${to} in use`,
    along: 'Trend along',
    measures: {
      readings: 'readings',
      days: 'days',
      openings: 'openings of the bottle',
    } satisfies Record<TrendMeasure, string>,
  },
  charts: {
    label: 'What is watched',
    thickness: 'Mean thickness',
    spread: 'Spread within the wafer',
    spreadAxis: 'spread over the sites',
    noSpread: 'Not every reading has its spread: it takes a wafer that was read at two sites or more.',
    readings: 'Readings',
    noReadings: 'Readings show here.',
    average: 'Weighted average',
    noAverage: 'The weighted average shows with the limits.',
    ranges: 'Moving range',
    noRanges: 'How far neighbours differ shows from the second reading on.',
    files: (of: string) => ({
      readings: `drift ${of}`,
      average: `drift ${of} average`,
      ranges: `drift ${of} moving range`,
    }),
    words: 'What the charts say',
    rules: 'Rules',
    noAlarm: 'No rule is broken.',
    more: (n: number) => (n === 0 ? '' : `Broken ${n} more ${n === 1 ? 'time' : 'times'} after it.`),
    events: 'At events',
    newLimits: (reading: number) => `New limits from reading ${reading}`,
    trend: 'Trend',
    back: 'Back to the target',
    noSpeed: 'The recipe’s fit holds no speed, so no other speed can be given.',
  },
  events: {
    title: 'Events',
    words:
      'What may move every film from then on. The charts mark it, and the change is reckoned from the readings on either ' +
      'side; an opening of the bottle is counted instead.',
    label: 'Events of the tools',
    entry: (kind: string, text: string, reading: number) =>
      `${kind}${text === '' ? '' : `: ${text}`} (before reading ${reading})`,
  },
}
