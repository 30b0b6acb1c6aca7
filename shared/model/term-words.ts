import { decimalsFor, fixed, percent, plainNumber, quantity } from '../charts/format.ts'
import { columnsOf, parseFormula } from './formula.ts'
import type { ResponseScale } from './response.ts'

/** A term as a fit reports it: its estimate with its interval, on the scale of the model. */
export type TermOfFit = { term: string; estimate: number; lower: number | null; upper: number | null }

/** What the words of a term are made from. */
export type TermsOfFit = {
  scale: ResponseScale | null
  all: readonly { term: string }[]
  /** Of the intervals, such as 0.95. */
  level: number
  /** Of a column; empty where it has none. */
  unitOf: (column: string) => string
  /** The response in the unit in which it is shown, for models that do not take its logarithm. */
  response: { unit: string; of: (value: number) => number }
}

/** A term without its levels: `speed.lot` of `speed.lot[B]`. */
const withoutLevels = (term: string) => {
  const end = term.lastIndexOf(']') + 1
  return term.slice(0, end).replace(/\[[^\]]*\]/g, '') + term.slice(end)
}

/** Columns that a term is made of: speed and bake of `log(speed).bake^2`. */
function columnsOfTerm(term: string): string[] {
  const formula = parseFormula(`y ~ ${withoutLevels(term)}`)
  return formula.ok ? columnsOf(formula.value.terms) : []
}

/** Whether a column of a term stands in another term too, so that its coefficient is the slope at 0 of that one alone. */
function standsElsewhere(term: string, all: readonly { term: string }[]): boolean {
  const own = columnsOfTerm(term)
  return all.some(
    (other) =>
      other.term !== 'constant' &&
      withoutLevels(other.term) !== withoutLevels(term) &&
      columnsOfTerm(other.term).some((column) => own.includes(column)),
  )
}

/**
 * What a term says in the trade's words, with its interval; where its interval holds 0, that these runs do not tell it.
 * A coefficient is the whole effect of its column only where no other term holds that column. Empty where there is
 * nothing simple to say.
 */
export function termWords(term: TermOfFit, fit: TermsOfFit): string {
  const { lower, upper } = term
  if (term.term === 'constant' || fit.scale === null) return ''
  const columns = columnsOfTerm(term.term)
  const name = `The ${kindOf(term.term, columns)}`
  if (lower === null || upper === null)
    return `${name} has no interval: these runs leave nothing to judge it by.`
  if (lower <= 0 && upper >= 0)
    return `${name} cannot be told from noise with these runs: its ${percent(fit.level, 0)} interval holds 0.`
  const told = wholeEffect({ ...term, lower, upper }, { ...fit, scale: fit.scale }, columns)
  if (told !== null && !standsElsewhere(term.term, fit.all)) return told
  if (/\^2$/.test(term.term))
    return `${name} is told from noise: ${columns[0]} does not act in a straight line.`
  if (columns.length > 1)
    return `${name} is told from noise: how ${columns[0]} acts depends on ${columns.slice(1).join(' and ')}.`
  return `What ${columns[0]} does depends on the setting: see its curve.`
}

/** `quadratic bake term`, `term of speed and bake together`, `bake term`. */
function kindOf(term: string, columns: readonly string[]): string {
  const own = columns.join(' and ')
  if (columns.length > 1) return `term of ${own} together`
  if (/\^2$/.test(term)) return `quadratic ${own} term`
  return `${own || term} term`
}

type Told = TermOfFit & { lower: number; upper: number }
type OnScale = TermsOfFit & { scale: ResponseScale }

/** What the term does by itself, as a sentence; null for a term whose effect is no single number. */
function wholeEffect(term: Told, fit: OnScale, columns: readonly string[]): string | null {
  const [column] = columns
  if (columns.length !== 1 || column === undefined) return null
  const bracket = term.term.split('.', 1)[0]?.lastIndexOf('[') ?? -1
  if (bracket > 0 && term.term.endsWith(']')) {
    const level = term.term.slice(bracket + 1, -1)
    return levelWords(term, fit, { column: term.term.slice(0, bracket), level })
  }
  if (/^log\(.+\)$/.test(term.term))
    return fit.scale.function === 'log' ? doublingWords(term, fit, column) : null
  return /^(?:[\p{L}_][\p{L}\p{N}_]*|"[^"]+")$/u.test(term.term) ? unitWords(term, fit, column) : null
}

/** `0.71 ± 0.02`, the digits by the half width. */
function around(value: number, ends: readonly [number, number]): string {
  const half = Math.abs(ends[1] - ends[0]) / 2
  const places = decimalsFor(half)
  return `${fixed(value, places)} ± ${fixed(half, places)}`
}

function doublingWords({ estimate, lower, upper }: Told, { scale, level }: OnScale, column: string): string {
  const ratio = around(2 ** estimate, [2 ** lower, 2 ** upper])
  const spin = column === 'speed' || column === 'rpm'
  const doubling = `doubling ${spin ? 'the speed' : column} gives ${ratio} of the ${scale.name} (${percent(level, 0)})`
  const way = estimate < 0 ? ['thins', 'lowers'] : ['thickens', 'raises']
  const lead =
    spin && scale.name === 'thickness'
      ? `Faster spin ${way[0]} the film`
      : `${spin ? 'Faster spin' : `More ${column}`} ${way[1]} the ${scale.name}`
  return `${lead}: ${doubling}${spin ? `, an exponent of ${around(-estimate, [lower, upper])}` : ''}.`
}

/** A change of the response with its interval: a share on the log scale, in its unit on its own, else on the model's. */
function change({ estimate, lower, upper }: Told, { scale, response }: OnScale): string {
  const [of, unit] =
    scale.function === 'log'
      ? [(value: number) => 100 * Math.expm1(value), '%']
      : scale.function === 'plain'
        ? [response.of, response.unit]
        : [(value: number) => value, `of ${scale.function}(${scale.name})`]
  const [value, low, high] = [estimate, lower, upper].map((each) => Math.abs(of(each))) as [
    number,
    number,
    number,
  ]
  return quantity(around(value, [low, high]), unit)
}

function unitWords(term: Told, fit: OnScale, column: string): string {
  const unit = fit.unitOf(column)
  const more = unit === '' ? `One more of ${column}` : `${quantity('1', unit)} more ${column}`
  return `${more} ${term.estimate < 0 ? 'lowers' : 'raises'} the ${fit.scale.name} by ${change(term, fit)} (${percent(fit.level, 0)}).`
}

/** A level beside the first among the runs, which need not be the first that the study names. */
function levelWords(term: Told, fit: OnScale, { column, level }: { column: string; level: string }): string {
  const side = term.estimate < 0 ? 'below' : 'above'
  return `With ${column} ${plainName(level)} the ${fit.scale.name} lies ${change(term, fit)} ${side} that of the ${column} without a term here (${percent(fit.level, 0)}).`
}

/** A level that is a number is written as one. */
const plainName = (level: string) => (Number.isFinite(Number(level)) ? plainNumber(Number(level)) : level)
