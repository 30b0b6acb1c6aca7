import { fUpper } from './distributions.ts'
import { termText } from './expression.ts'
import { keptOfTerm } from './fitted.ts'
import { inverseHalf } from './least-squares.ts'
import { fixedEffects, type MixedFit, satterthwaite, slopesAlong } from './mixed-fit.ts'
import { eigenOf, form, inner } from './symmetric.ts'

/** An F test of one term, with the degrees of freedom of its error. */
export type MixedTest = { term: string; df: number; denominatorDf: number; f: number; p: number }

/**
 * F tests of the terms in formula order, each after those before it and with the error of the stratum that it is
 * estimated in.
 */
export function sequentialTests(fit: MixedFit): MixedTest[] {
  return testsOf(fit, (kept) => sequentialContrasts(fit, kept))
}

/** The same of any kept columns together, such as those of several terms. */
export function sequentialTest(fit: MixedFit, kept: number[]): { f: number; denominatorDf: number } {
  return jointTest(fit, sequentialContrasts(fit, kept))
}

function sequentialContrasts(fit: MixedFit, kept: number[]): Contrast[] {
  const { p } = fit.reduced
  const { factor, estimates } = fit.maximum.at
  // The least-squares part of the response on Q, and what the weighing by groups adds.
  const onQ = estimates.map((value, k) => value + fit.fitted.solution.effects.hi[k]! / fit.reduced.unit)
  // Rows of the upper triangle U with U′U = Q′V⁻¹Q: the columns are in formula order, and so are U's effects.
  const row = (k: number) => Float64Array.from({ length: p }, (_, j) => factor[j + k * p]!)
  return kept.map((k) => ({ z: row(k), estimate: inner(row(k), onQ) }))
}

/** F tests of each term, whole, against the model without it. */
export function marginalMixedTests(fit: MixedFit): MixedTest[] {
  const half = inverseHalf(fit.fitted.solution)
  const effects = fixedEffects(fit)
  return testsOf(fit, (kept) =>
    kept.map((k) => ({ z: half[k]!.hi, estimate: effects[k]!.estimate / fit.reduced.unit })),
  )
}

type Contrast = { z: Float64Array; estimate: number }

function testsOf(fit: MixedFit, contrastsOf: (kept: number[]) => Contrast[]): MixedTest[] {
  return fit.fitted.formula.terms.flatMap((term, index) => {
    const kept = keptOfTerm(fit.fitted, index)
    if (term.length === 0 || kept.length === 0) return []
    const { f, denominatorDf } = jointTest(fit, contrastsOf(kept))
    return [
      { term: termText(term), df: kept.length, denominatorDf, f, p: fUpper(f, kept.length, denominatorDf) },
    ]
  })
}

/**
 * Test that contrasts are all 0. Their covariance is turned into independent parts, each with degrees of freedom of
 * its own, and F's are those that give it the right expectation (Fai & Cornelius, J. Stat. Comput. Simul. 54, 1996).
 */
function jointTest(fit: MixedFit, contrasts: Contrast[]): { f: number; denominatorDf: number } {
  const { p } = fit.reduced
  const { covariance } = fit.maximum.at
  const size = contrasts.length
  // In units of their standard errors, so that parts of different units do not drown each other.
  const unit = contrasts.map(({ z }) => Math.sqrt(form(covariance, p, z, z)))
  const joint = new Float64Array(size * size)
  contrasts.forEach((a, i) => {
    contrasts.forEach((b, j) => {
      joint[i + j * size] = form(covariance, p, a.z, b.z) / (unit[i]! * unit[j]!)
    })
  })
  const { values, vectors } = eigenOf(joint, size)
  let sum = 0
  const df = Array.from(values, (value, k) => {
    const z = new Float64Array(p)
    let estimate = 0
    contrasts.forEach((contrast, i) => {
      const share = vectors[i + k * size]! / unit[i]!
      estimate += share * contrast.estimate
      for (let c = 0; c < p; c++) z[c]! += share * contrast.z[c]!
    })
    sum += (estimate * estimate) / value
    return satterthwaite(fit, value, slopesAlong(fit, z))
  })
  return { f: sum / size, denominatorDf: commonDf(df) }
}

function commonDf(df: number[]): number {
  const [low, high] = [Math.min(...df), Math.max(...df)]
  if (high - low <= 1e-8 * high) return df.reduce((a, b) => a + b, 0) / df.length
  // Up to 2 degrees of freedom F has no expectation: the part with the fewest speaks for all.
  if (low <= 2) return low
  const expectation = df.reduce((sum, own) => sum + own / (own - 2), 0)
  return (2 * expectation) / (expectation - df.length)
}
