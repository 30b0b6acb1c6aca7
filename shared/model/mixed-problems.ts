import { pWords } from '../charts/format.ts'
import type { Fit } from '../contract/results/fit.ts'
import type { Problem } from '../problem.ts'
import { type MixedFit, variancesOf } from './mixed-fit.ts'
import { betweenWords, groupWord } from './nested-groups.ts'
import { statedEffect } from './stated-effect.ts'
import { fewestStratumDf } from './stated-variance.ts'

/**
 * What a person should know of the variances: those that are hardly known, those estimated as 0, and what stated ones
 * do to the intervals.
 *
 * @param alone the fit by the runs alone: the same one where nothing is stated, null where there is none
 */
export function mixedProblems(fit: MixedFit, alone: MixedFit | null, level: number): Problem[] {
  const names = [...fit.reduced.tree.names, 'residual']
  const variances = variancesOf(fit)
  const problems = names.flatMap((group, g) => {
    if (fit.sources[g] !== 'estimated') return []
    const df = fit.strata[g] as number
    const found: Problem[] = []
    // The residual cannot be stated by a person, so that there is nothing to offer for it.
    const offer = group === 'residual' ? '' : ' State its standard deviation from earlier studies'
    if (df < fewestStratumDf)
      found.push({
        code: 'fewStratumDf',
        message:
          `The variance ${betweenWords(group)} rests on ${plural(df)} of freedom, fewer than ${fewestStratumDf}: it and the ` +
          `intervals built on it are hardly known.${offer && `${offer}, and see what it changes.`}`,
        column: group,
      })
    if (variances[g] === 0)
      found.push({
        code: 'zeroVariance',
        message:
          `The variance ${betweenWords(group)} is estimated as 0 (${plural(df)} of freedom): its groups differ no more than ` +
          'what lies inside them explains. It was not pooled: degrees of freedom still count it as estimated.' +
          `${offer}: that may be nearer the truth.`,
        column: group,
      })
    return found
  })
  return [...problems, ...statedProblems(fit, alone, level)]
}

/** Below this p a warning is given. */
const significant = 0.05

/** Strata in which the model misses the means of settings by more than equal settings differ. */
export function lackOfFitProblems(strata: NonNullable<Fit['lackOfFitByStratum']>): Problem[] {
  return strata.flatMap(({ stratum, df, denominatorDf, f, p }) => {
    if (f === null || p === null || denominatorDf === null || p >= significant) return []
    const where =
      stratum === 'residual' ? 'Inside the groups the model' : `Between ${groupWord(stratum)}s the model`
    return [
      {
        code: 'lackOfFit',
        message:
          `${where} misses the data by more than equal settings differ there: ` +
          `F(${df}, ${short(denominatorDf)}) = ${f.toPrecision(4)}, ${pWords(p)}.`,
      },
    ]
  })
}

const earlierWords = { code: 'earlierVariance', words: 'taken from earlier studies as' }
const statedWords = { code: 'statedVariance', words: 'stated as' }
const usualWords = {
  code: 'usualVariance',
  words: 'taken by default, as no earlier study tells it, as',
}

function plural(df: number): string {
  return df === 1 ? '1 degree' : `${short(df)} degrees`
}

function statedProblems(fit: MixedFit, alone: MixedFit | null, level: number): Problem[] {
  if (alone === fit) return []
  const names = [...fit.reduced.tree.names, 'residual']
  const without = alone && variancesOf(alone)
  const variances = variancesOf(fit)
  const change = alone ? widestChange(fit, alone, level) : ''
  return names.flatMap((group, g) => {
    const stated = fit.stated[g]
    if (!stated) return []
    const from = stated.usual ? usualWords : fit.sources[g] === 'earlierStudies' ? earlierWords : statedWords
    const what = `${short(stated.variance)} (standard deviation ${short(Math.sqrt(stated.variance))})`
    const how =
      stated.df === undefined
        ? 'and was not estimated'
        : `worth ${plural(stated.df)} of freedom, which with these runs makes ${short(variances[g] as number)}`
    const own = without
      ? `by these runs alone it would be ${short(without[g] as number)} on ${plural(fit.strata[g] as number)} of freedom`
      : 'these runs alone cannot estimate it'
    return [
      {
        code: from.code,
        message: `The variance ${betweenWords(group)} is ${from.words} ${what}, ${how}: ${own}.${change}`,
        column: group,
      },
    ]
  })
}

/** The fixed effect whose interval the stated variances change most, in words. */
function widestChange(fit: MixedFit, alone: MixedFit, level: number): string {
  const effects = statedEffect(fit, alone, level)
  const ratio = (one: (typeof effects)[number]) =>
    Math.abs(Math.log(one.halfWidth / (one.halfWidthWithout as number)))
  const most = effects.reduce((most, next) => (ratio(next) > ratio(most) ? next : most))
  return (
    ` The interval that changes most is that of ${most.term}: ±${short(most.halfWidth)} ` +
    `with it, ±${short(most.halfWidthWithout as number)} without.`
  )
}

function short(value: number): string {
  return String(Number(value.toPrecision(3)))
}
