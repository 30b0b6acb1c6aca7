import { fixed, percent, plainNumber, pWords, quantity, type Shown, significant } from '../charts/format.ts'
import type { Fit } from '../contract/results/fit.ts'
import { parseFormula } from './formula.ts'
import { type ResponseScale, responseScale, toMeasured } from './response.ts'

/** Beyond this a studentized residual is worth a search for its cause (common practice, no source). */
export const noticeable = 3

/** A run of less weight in a robust fit is named: it lies two scales or more from the fit. */
export const countsLess = 0.7

/** With fewer degrees of freedom the factor t of a 95 % interval is 2.78 or more, and falls much with each further one. */
export const enoughDf = 5

/** A sentence with its tone: plain, or a warning that changes what one should do next. */
export type Sentence = { words: string; tone: 'plain' | 'warning' }

const plain = (words: string): Sentence => ({ words, tone: 'plain' })
const warning = (words: string): Sentence => ({ words, tone: 'warning' })

/** How the model sees its response; null while the formula cannot be read. */
export function scaleOf(model: string): ResponseScale | null {
  const formula = parseFormula(model)
  return formula.ok && formula.value.response ? responseScale(formula.value.response) : null
}

/** Fitted values and residuals as they are shown: on a log scale residuals are percent of the response. */
export function shownFit(scale: ResponseScale | null, shown: Shown) {
  const isLog = scale?.function === 'log'
  const isPlain = scale === null || scale.function === 'plain'
  return {
    fitted: (value: number) => shown.of(scale ? toMeasured(scale, value) : value),
    residual: (value: number) => (isLog ? 100 * value : isPlain ? shown.of(value) : value),
    residualUnit: isLog ? '%' : isPlain ? shown.unit : `of ${scale.function}(${scale.name})`,
  }
}

/** How far runs scatter about the fit, in the unit of the response or, on a log scale, in percent. */
export function scatterSentence(fit: Fit, scale: ResponseScale | null, shown: Shown): Sentence {
  const s = fit.residualStandardDeviation
  if (s === null) return plain('Nothing is left to judge the scatter by, so there are no intervals.')
  const view = shownFit(scale, shown)
  const amount = quantity(significant(view.residual(s), 2), view.residualUnit)
  return plain(`Runs scatter by ${amount} about the fit (residual standard deviation, ${fit.df} df).`)
}

/** What share of the differences the model accounts for, and whether it would hold for a run left out. */
export function shareSentence(fit: Fit): Sentence {
  const { rSquared, rSquaredAdjusted, rSquaredPredicted } = fit
  const words =
    `R² ${percent(rSquared)} of the differences between runs, adjusted ${percent(rSquaredAdjusted)}, ` +
    `predicted ${percent(rSquaredPredicted)}.`
  const drops =
    rSquaredAdjusted !== null && rSquaredPredicted !== null && rSquaredAdjusted - rSquaredPredicted > 0.2
  return drops
    ? warning(`${words} The predicted one is much lower: some runs decide the fit by themselves.`)
    : plain(words)
}

/** Whether repeated runs contradict the form of the model. */
export function lackOfFitSentence(fit: Fit): Sentence {
  const test = fit.lackOfFit
  if (!test)
    return plain('No settings were repeated, so nothing can test whether the form of the model is right.')
  const numbers = `F = ${significant(test.f, 3)} on ${test.df} and ${test.pureErrorDf}, ${pWords(test.p)}`
  if (test.p === null)
    return plain('Lack of fit cannot be tested: the model leaves no degrees of freedom for it.')
  return test.p < 0.05
    ? warning(`Lack of fit is significant (${numbers}): the runs do not follow this form.`)
    : plain(`Repeated runs agree with this form (lack of fit ${numbers}).`)
}

/** Whether the fit is significantly bent: a square with p below 0.05; null where there is none. */
export function bendSentence(fit: Fit): Sentence | null {
  const bent = fit.terms.filter(({ term, p }) => term.endsWith('^2') && p !== null && p < 0.05)
  if (bent.length === 0) return null
  const bends = bent.map(({ term, p }) => `${term.replace(/\^2$/, '')} (${pWords(p)})`)
  return plain(`Significantly bent in ${bends.join(', ')}: a straight fit would be wrong.`)
}

/** Runs whose residual stands out from what the others lead one to expect. */
export function outlierSentence(fit: Fit, codes: string[]): Sentence {
  const far = fit.runs.flatMap((run, k) =>
    run.studentized !== null && Math.abs(run.studentized) > noticeable
      ? [`${codes[k] ?? `row ${run.row}`} (${fixed(run.studentized, 1)})`]
      : [],
  )
  if (far.length === 0) return plain(`No studentized residual is beyond ±${noticeable}.`)
  return warning(
    `Beyond ±${noticeable} (studentized): ${far.join(', ')}. Look for a cause; leave a run out only with a reason.`,
  )
}

/** Between which settings something lies; an end without a bound is said to be missing. */
export function spanWords(
  { lower, upper }: { lower: number | null; upper: number | null },
  unit: string,
): string {
  const number = (value: number) => plainNumber(value, 4)
  if (lower !== null && upper !== null) return `between ${number(lower)} and ${quantity(number(upper), unit)}`
  if (lower !== null) return `above ${quantity(number(lower), unit)}, with no upper end in these runs`
  if (upper !== null) return `below ${quantity(number(upper), unit)}, with no lower end in these runs`
  return 'anywhere, for all that these runs tell: the slope is not clearly other than 0'
}
