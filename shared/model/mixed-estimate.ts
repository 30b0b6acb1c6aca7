import { type Answer, good, type Problem, refuse } from '../problem.ts'
import type { Fitted } from './fitted.ts'
import { exactInside, type GroupMeans, groupMeans, strataDf } from './group-means.ts'
import type { MixedFit, VarianceSource } from './mixed-fit.ts'
import type { GroupTree } from './nested-groups.ts'
import { type RestrictedMaximum, restrictedMaximum } from './restricted-maximum.ts'
import { fewestStratumDf, type StatedVariance } from './stated-variance.ts'

/** What is known of the variances besides the runs, by group as printed (`session`, `session/visit`). */
export type KnownVariances = {
  /** Used in any case. */
  stated?: Record<string, StatedVariance>
  /** Used only where the stratum has fewer than 3 degrees of freedom, or its estimate by the runs alone is 0. */
  earlier?: Record<string, StatedVariance>
  /** What is usual, used like `earlier` where no earlier study tells; that of the `residual` too. */
  usual?: Record<string, StatedVariance>
}

/**
 * The variances by restricted maximum likelihood, with what is known of them.
 *
 * @returns problems as `fitMixed` describes them
 */
export function estimateMixed(fitted: Fitted, tree: GroupTree, known: KnownVariances): Answer<MixedFit> {
  const names = [...tree.names, 'residual']
  const { stated = {}, earlier = {}, usual = {} } = known
  const problemsOf = (groups: string[], each: Record<string, StatedVariance>) =>
    Object.entries(each).flatMap(([group, one]) => statedProblem(groups, group, one))
  const wrong = [
    ...[stated, earlier].flatMap((each) => problemsOf(tree.names, each)),
    ...problemsOf(names, usual),
  ]
  if (wrong.length > 0) return { ok: false, problems: wrong }
  if (fitted.solution.df === 0)
    return refuse('noDegreesOfFreedom', 'There are as many terms as runs: no variance can be estimated.')
  if (!(fitted.solution.residualSumOfSquares > 0))
    return refuse('exactFit', 'The model goes through every run exactly: there is no variance to divide.')
  const reduced = groupMeans(fitted, tree)
  const strata = strataDf(reduced)
  // Not `in`: a column may be called ‘constructor’.
  const otherSource = (name: string): VarianceSource | null =>
    Object.hasOwn(earlier, name) ? 'earlierStudies' : Object.hasOwn(usual, name) ? 'stated' : null
  const sources = names.map((name, g): VarianceSource => {
    if (Object.hasOwn(stated, name)) return 'stated'
    return strata[g]! < fewestStratumDf ? (otherSource(name) ?? 'estimated') : 'estimated'
  })
  const missing = strata.flatMap((df, g) =>
    df > 0 || sources[g] !== 'estimated' ? [] : noStratumDf(names, g),
  )
  if (missing.length > 0) return { ok: false, problems: missing }
  if (sources.at(-1) === 'estimated' && exactInside(reduced))
    return refuse(
      'exactFit',
      `Inside each ${tree.names.at(-1)} the model goes through every run exactly: there is no residual variance.`,
    )
  const statedOf = () =>
    names.map((name, g) => {
      if (sources[g] === 'estimated') return null
      if (Object.hasOwn(stated, name)) return stated[name] ?? null
      return (sources[g] === 'stated' ? usual[name] : earlier[name]) ?? null
    })
  // Each round gives at least one more variance to the earlier studies, so that this ends.
  for (;;) {
    const maximum = maximumWith(reduced, statedOf())
    if (!maximum) return refuse('didNotConverge', 'The search for the variances did not converge.')
    const zero = names.flatMap((name, g) => {
      const other = sources[g] === 'estimated' && maximum.variances[g] === 0 ? otherSource(name) : null
      return other === null ? [] : [{ g, other }]
    })
    if (zero.length === 0) return good({ fitted, reduced, maximum, strata, sources, stated: statedOf() })
    for (const { g, other } of zero) sources[g] = other
  }
}

/** The maximum with stated variances in the square of the model response's unit. */
function maximumWith(reduced: GroupMeans, stated: (StatedVariance | null)[]): RestrictedMaximum | null {
  const inUnits = stated.map((one) => one && { ...one, variance: one.variance / reduced.unit ** 2 })
  return restrictedMaximum(reduced, inUnits)
}

function statedProblem(groups: string[], group: string, { variance, df }: StatedVariance): Problem[] {
  const wrong = (code: string, message: string): Problem[] => [{ code, message, column: group }]
  if (!groups.includes(group))
    return wrong('unknownGroup', `A variance is stated for ‘${group}’; the groups are ${groups.join(', ')}.`)
  if (!(Number.isFinite(variance) && variance >= 0))
    return wrong('notANumber', `The variance stated for ${group} must be 0 or more.`)
  if (df === undefined) return []
  if (!(Number.isFinite(df) && df > 0))
    return wrong('notANumber', `The degrees of freedom stated for ${group} must be more than 0.`)
  // A variance of 0 known from some degrees of freedom would outweigh any number of runs.
  if (variance === 0)
    return wrong('notANumber', `A variance stated for ${group} with degrees of freedom must be more than 0.`)
  return []
}

function noStratumDf(names: string[], g: number): Problem[] {
  const name = names[g] as string
  const message =
    name === 'residual'
      ? `No two runs lie in the same ${names[g - 1]}, after the terms of the model: its variance cannot be told ` +
        'from that of the runs. Leave out the innermost column of the groups.'
      : `The runs leave no degree of freedom for the variance of ${name}: state it from earlier studies, ` +
        'or leave it out.'
  return [{ code: 'noStratumDf', message, column: 'random' }]
}
