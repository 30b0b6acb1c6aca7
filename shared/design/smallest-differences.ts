import type { DesignEvaluation } from '../contract/results/plan.ts'
import type { Factor } from '../contract/things.ts'
import { quoted } from '../model/expression.ts'
import { type DesignTerm, jointKey } from './design-terms.ts'
import { detectableNoncentrality } from './detectable.ts'
import { stratumOf } from './detectable-effects.ts'
import type { TermErrors } from './error-strata.ts'
import { factorize } from './information.ts'

/**
 * The smallest difference, in σ of a run, that the joint F test of a term with several degrees of freedom
 * finds at 0.05 with the given power. For a factor with levels by name it is the difference between two levels,
 * the others lying in the middle between them, which is the hardest case (as in the power of an analysis of
 * variance with two extreme means); in an interaction with a number it is that of the slopes of two levels, and
 * for two factors with levels by name the difference of the differences. Of all pairs of levels the one hardest
 * to tell apart counts. Its error has the fewest degrees of freedom among those of its coefficients.
 */
export function smallestDifferences(
  factors: readonly Factor[],
  terms: readonly DesignTerm[],
  errors: TermErrors,
  power: number,
): DesignEvaluation['smallestDifferences'] {
  return [...jointTerms(terms)].flatMap(([, members]) => {
    if (members.length < 2) return []
    const first = terms[members[0] as number] as DesignTerm
    const own = members.map((t) => errors.of[t] ?? null)
    const degrees = own.map((error) => error?.df ?? null)
    const errorDf = degrees.includes(null) ? null : Math.min(...(degrees as number[]))
    const lambda = errorDf === null ? null : detectableNoncentrality(power, members.length, errorDf)
    const least = own.includes(null) ? null : leastInformation(factors, terms, members, errors)
    return [
      {
        term: jointName(factors, first),
        df: members.length,
        errorDf,
        effect: lambda === null || least === null ? null : Math.sqrt(lambda / least),
        power,
        stratum: stratumOf(own[0] ?? null),
      },
    ]
  })
}

/** Columns that differ in the level only, by what they have in common. */
function jointTerms(terms: readonly DesignTerm[]): Map<string, number[]> {
  const joint = new Map<string, number[]>()
  terms.forEach((term, t) => {
    if (!term.parts.some((part) => 'level' in part)) return
    const key = jointKey(term)
    joint.set(key, [...(joint.get(key) ?? []), t])
  })
  return joint
}

function jointName(factors: readonly Factor[], term: DesignTerm): string {
  return term.parts
    .map((part) => {
      const name = quoted((factors[part.factor] as Factor).name)
      return 'level' in part || part.power === 1 ? name : `${name}^${part.power}`
    })
    .join('.')
}

/** The least θ′C⁻¹θ of all patterns that differ by 1 between two levels: the non-centrality by difference². */
function leastInformation(
  factors: readonly Factor[],
  terms: readonly DesignTerm[],
  members: readonly number[],
  errors: TermErrors,
): number {
  const p = members.length
  const root = new Float64Array(p * p)
  members.forEach((a, i) => {
    members.forEach((b, j) => {
      root[i + j * p] = errors.covariance(a, b) as number
    })
  })
  factorize(root, p)
  const named = (terms[members[0] as number] as DesignTerm).parts.filter((part) => 'level' in part)
  const pairs = named.map((part) => pairsOf((factors[part.factor] as Factor).levelNames.length))
  let least = Number.POSITIVE_INFINITY
  const chosen: [number, number][] = []
  const look = (depth: number): void => {
    if (depth < pairs.length) {
      for (const pair of pairs[depth]!) {
        chosen[depth] = pair
        look(depth + 1)
      }
      return
    }
    const pattern = members.map((t) =>
      (terms[t] as DesignTerm).parts
        .filter((part) => 'level' in part)
        .reduce((product, part, f) => {
          const [up, down] = chosen[f] as [number, number]
          return product * (part.level === up ? 0.5 : part.level === down ? -0.5 : 0)
        }, 1),
    )
    least = Math.min(least, squaredLength(root, Float64Array.from(pattern)))
  }
  look(0)
  return least
}

function pairsOf(levels: number): [number, number][] {
  return Array.from({ length: levels }, (_, a) =>
    Array.from({ length: levels - a - 1 }, (_, b): [number, number] => [a, a + b + 1]),
  ).flat()
}

/** |L⁻¹θ|², L the lower root of the covariance. */
function squaredLength(l: Float64Array, theta: Float64Array): number {
  const p = theta.length
  let sum = 0
  for (let i = 0; i < p; i++) {
    for (let k = 0; k < i; k++) theta[i]! -= l[i + k * p]! * theta[k]!
    theta[i]! /= l[i + i * p]!
    sum += theta[i]! ** 2
  }
  return sum
}
