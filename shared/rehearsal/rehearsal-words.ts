import { plainNumber } from '../charts/format.ts'
import type { Counted, Rehearsal } from '../contract/results/rehearsal.ts'

const percent = (share: number) => `${Math.round(100 * share)} %`
const ofAll = ({ count, share }: Counted) => `${count}${share === null ? '' : ` (${percent(share)})`}`
const rounded = (value: number, digits = 3) => plainNumber(Number(value.toPrecision(digits)))
const tenth = (nm: number) => plainNumber(Number(nm.toFixed(1)))

/** What the rehearsals say, in sentences: first how often the recipe was right. */
export function rehearsalWords(result: Omit<Rehearsal, 'words' | 'simulated'>): string[] {
  const { times, toleranceNm, withinTolerance, recipes, recipe, trueThickness, answered, unit, factor } =
    result
  const withUnit = (text: string) => (unit === '' ? text : `${text} ${unit}`)
  const words: string[] = []
  if (withinTolerance !== null && toleranceNm !== null)
    words.push(
      `In ${times} rehearsals the recipe was within ±${plainNumber(toleranceNm)} nm in ${ofAll(withinTolerance)}.` +
        `${likely(withinTolerance)}`,
    )
  if (recipes.count < times)
    words.push(
      `In ${times - recipes.count} of ${times} the fit did not reach the target within the planned range of ${factor}.`,
    )
  if (recipe !== null && recipe.standardDeviation !== null) {
    const [lower, upper] = [recipe.quantiles[0]?.value ?? 0, recipe.quantiles.at(-1)?.value ?? 0]
    words.push(
      `The recommended ${factor} was ${withUnit(`${plainNumber(Math.round(recipe.mean))} ± ${rounded(recipe.standardDeviation, 2)}`)} ` +
        `(standard deviation), nine in ten between ${Math.round(lower)} and ${withUnit(String(Math.round(upper)))}.`,
    )
  }
  if (trueThickness !== null && trueThickness.standardDeviation !== null) {
    const { bias, standardDeviation } = trueThickness
    const side = bias < 0 ? 'thinner' : 'thicker'
    words.push(
      `At the recipe the film is truly ${tenth(Math.abs(bias))} nm ${side} than the target on average, with a standard ` +
        `deviation of ${tenth(standardDeviation)} nm from study to study.`,
    )
  }
  if (answered !== null)
    words.push(
      `${ofAll(answered)} answered the question: they gave a recipe whose 95 % interval for one wafer of another day ` +
        'lies within the tolerance.',
    )
  return [...words, ...coverageWords(result)]
}

function likely({ lower, upper, of }: Counted): string {
  if (lower === null || upper === null) return ''
  return ` From ${of} rehearsals that share is known to lie between ${percent(lower)} and ${percent(upper)}.`
}

function coverageWords({ coverage, halfWidths }: Pick<Rehearsal, 'coverage' | 'halfWidths'>): string[] {
  const { mean, anotherDay, dayIgnored } = coverage
  const words: string[] = []
  if (mean.share !== null && halfWidths.mean !== null)
    words.push(
      `The 95 % interval for the mean on the study’s last day, ±${tenth(halfWidths.mean)} nm, held the truth in ` +
        `${percent(mean.share)}.`,
    )
  if (anotherDay.share !== null && dayIgnored.share !== null && halfWidths.anotherDay !== null)
    words.push(
      `That for a wafer of another day, ±${tenth(halfWidths.anotherDay)} nm, held it in ${percent(anotherDay.share)}; ` +
        `an interval that leaves the day out of account would have in ${percent(dayIgnored.share)}.`,
    )
  return words
}
