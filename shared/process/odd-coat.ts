import type { Run } from '../contract/things.ts'
import { dummiesNeeded } from './check-bench.ts'

/**
 * What was noted of a coat that makes films thicker, in words: the lid open, or too few substrates since the bowl was
 * cleaned (trade practice).
 */
export function oddCoat(
  { actual, note }: Pick<Run, 'actual' | 'note'>,
  study: { dummies: number },
): string[] {
  const { lidOpen, waferSinceClean } = actual
  const before = (waferSinceClean ?? Number.POSITIVE_INFINITY) - 1
  return [
    ...(lidOpen || /\blid (was |left )?open\b/i.test(note) ? ['lid open'] : []),
    ...(before < dummiesNeeded(study.dummies) ? [`wafer ${before + 1} since the bowl was cleaned`] : []),
  ]
}
