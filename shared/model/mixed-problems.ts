import type { Answer, Problem } from '../problem.ts'
import { tQuantile } from './distributions.ts'
import { fixedEffects, type MixedFit, variancesOf } from './mixed-fit.ts'

/** With fewer degrees of freedom a variance is hardly known (at 3, its 95 % interval spans a factor of 43). */
const fewDf = 3

/**
 * What a person should know of the variances: those that are hardly known, those estimated as 0, and what stated ones
 * do to the intervals.
 *
 * @param options.estimated the fit without stated variances
 */
export function mixedProblems(
  fit: MixedFit,
  options: { given: Record<string, number>; level: number; estimated: () => Answer<MixedFit> },
): Problem[] {
  const names = [...fit.reduced.tree.names, 'residual']
  const variances = variancesOf(fit)
  const problems = names.flatMap((group, g) => {
    if (fit.stated[g]) return []
    const df = fit.strata[g] as number
    const found: Problem[] = []
    if (df < fewDf)
      found.push({
        code: 'fewStratumDf',
        message:
          `The variance of ${group} rests on ${plural(df)} of freedom, fewer than ${fewDf}: it and the ` +
          'intervals built on it are hardly known. State a variance from earlier studies, and see what it changes.',
        column: group,
      })
    if (variances[g] === 0)
      found.push({
        code: 'zeroVariance',
        message:
          `The variance of ${group} is estimated as 0 (${plural(df)} of freedom): its groups differ no more than ` +
          'what lies inside them explains. It was not pooled: degrees of freedom still count it as estimated. ' +
          'A variance stated from earlier studies may be nearer the truth.',
        column: group,
      })
    return found
  })
  if (!fit.stated.some((one) => one)) return problems
  return [...problems, ...statedProblems(fit, names, options)]
}

function plural(df: number): string {
  return df === 1 ? '1 degree' : `${df} degrees`
}

function statedProblems(
  fit: MixedFit,
  names: string[],
  {
    given,
    level,
    estimated,
  }: { given: Record<string, number>; level: number; estimated: () => Answer<MixedFit> },
): Problem[] {
  const answer = estimated()
  const other = answer.ok ? answer.value : null
  const without = other && variancesOf(other)
  const change = other ? widestChange(fit, other, level) : ''
  return names.flatMap((group, g) => {
    if (!fit.stated[g]) return []
    const alone = without
      ? `by these runs alone it would be ${short(without[g] as number)} on ${plural(fit.strata[g] as number)} of freedom`
      : 'these runs alone cannot estimate it'
    return [
      {
        code: 'statedVariance',
        message: `The variance of ${group} is stated as ${short(given[group] as number)}, not estimated: ${alone}.${change}`,
        column: group,
      },
    ]
  })
}

/** The fixed effect whose interval the stated variances change most, in words. */
function widestChange(fit: MixedFit, other: MixedFit, level: number): string {
  const reaches = (one: MixedFit) =>
    fixedEffects(one).map(({ variance, df }) => tQuantile((1 + level) / 2, df) * Math.sqrt(variance))
  const [withIt, without] = [reaches(fit), reaches(other)]
  const ratios = withIt.map((reach, k) => Math.abs(Math.log(reach / (without[k] as number))))
  const most = ratios.indexOf(Math.max(...ratios))
  const { columns, solution } = fit.fitted
  const name = columns[solution.factorization.kept[most] as number]?.name ?? ''
  return (
    ` The interval that changes most is that of ${name}: ±${short(withIt[most] as number)} ` +
    `with it, ±${short(without[most] as number)} without.`
  )
}

function short(value: number): string {
  return String(Number(value.toPrecision(3)))
}
