import type { Run } from '../contract/things.ts'
import { oddCoat } from './odd-coat.ts'

/** A reading as many times off is taken for one in another unit: within 5 % of a power of ten. */
const nearPower = Math.log10(1.05)
/** Sites that scatter so many times more about their film's shape than is usual are worth a look. */
const oddSites = 3

/** What is recorded of a run that lies apart, as possible reasons in words; empty where nothing is. */
export function runReasons(
  run: Run,
  study: { dummies: number },
  film: {
    /** Response over what the other runs let expect, where both are positive. */
    ratio: number | null
    /** Scatter of its sites about the film's shape, and that of the middle run. */
    rest: number | null
    usualRest: number | null
    /** Whether no run of its session came before it. */
    first: boolean
    /** What replaced the planned settings, in words. */
    replaced: string[]
  },
): string[] {
  const { ratio, rest, usualRest } = film
  const power = ratio !== null && ratio > 0 ? Math.round(Math.log10(ratio)) : 0
  const slip = power !== 0 && Math.abs(Math.log10(ratio as number) - power) < nearPower
  const unclean = film.first && run.actual.waferSinceClean === undefined
  return [
    ...(slip
      ? [
          `read at about ${power > 0 ? '' : '1/'}${10 ** Math.abs(power)} times what is expected: another unit?`,
        ]
      : []),
    ...oddCoat(run, study),
    ...(unclean ? ['first of its session, and no dummies are noted'] : []),
    ...(run.actual.deviation ? [`noted as gone otherwise: ${run.actual.deviation}`] : []),
    ...(run.note.trim() === '' ? [] : [`noted: ${run.note.trim()}`]),
    ...(run.defect === null ? [] : [`defect: ${run.defect}`]),
    ...film.replaced.map((words) => `went otherwise than planned: ${words}`),
    ...(rest !== null && usualRest !== null && usualRest > 0 && rest > oddSites * usualRest
      ? [
          `its sites scatter ${Math.round(rest / usualRest)} times as much as is usual: look at the map for a single low or high site`,
        ]
      : []),
  ]
}
