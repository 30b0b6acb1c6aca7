import type { Factor, Settings } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { codeSettings } from './code.ts'
import type { DraftRun } from './design-point.ts'

/**
 * Runs already made, which a plan completes; their settings are taken as they are, without rounding.
 *
 * @returns problems by row (the first kept run is row 2, as in a file with a header) and factor
 */
export function keptRuns(factors: readonly Factor[], keep: readonly Settings[]): Answer<DraftRun[]> {
  const problems = keep.flatMap((settings, i) => factors.flatMap((factor) => check(factor, settings, i + 2)))
  if (problems.length > 0) return { ok: false, problems }
  return good(
    keep.map((all, i) => {
      const settings = Object.fromEntries(factors.map(({ name }) => [name, all[name] as number | string]))
      return {
        standardOrder: i + 1,
        block: 1,
        kind: 'kept',
        settings,
        coded: codeSettings(factors, settings),
      }
    }),
  )
}

function check(factor: Factor, settings: Settings, row: number): Problem[] {
  const value = settings[factor.name]
  const problem = (message: string) => [{ code: 'keptRun', message, row, column: factor.name }]
  if (value === undefined) return problem(`Row ${row} of the runs to keep has no ${factor.name}.`)
  if (factor.kind === 'categorical')
    return factor.levelNames.includes(String(value))
      ? []
      : problem(`Row ${row} of the runs to keep: ${factor.name} has no level ‘${value}’.`)
  if (typeof value !== 'number')
    return problem(`Row ${row} of the runs to keep, ${factor.name}: ‘${value}’ is no number.`)
  return value >= (factor.low as number) && value <= (factor.high as number)
    ? []
    : problem(
        `Row ${row} of the runs to keep: ${factor.name} ${value} lies outside ${factor.low} to ${factor.high}. ` +
          'Widen the range or leave the run out.',
      )
}
