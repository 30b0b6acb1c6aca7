import type { z } from 'zod'
import type { modelSuggestion } from '../contract/calls/fits.ts'
import type { FactorRole } from '../contract/things.ts'
import { columnOf, quoted } from './expression.ts'
import { parseFormula } from './formula.ts'

export type ModelSuggestion = z.infer<typeof modelSuggestion>

/** What the suggestions must know of a factor. */
export type SuggestFactor = {
  name: string
  role: FactorRole
  kind: 'continuous' | 'categorical'
  /** Number of different settings among the runs. */
  distinct: number
}

/** The right side of a model, and when to choose it. */
type Offer = { right: string; words: string }

/**
 * Models worth fitting, simplest first, each with a sentence on when to choose it. Only those are offered that
 * leave at least one run to judge the error by. The speed is modelled on the log scale.
 *
 * @param options.onLogScale for a response above 0 whose scatter is a share of it, such as thickness
 * @param options.groups names of the columns that tell lots apart, each with two lots or more
 * @param options.runs number of runs with a value of the response
 */
export function suggestModels(options: {
  factors: SuggestFactor[]
  response: string
  onLogScale: boolean
  groups: string[]
  runs: number
}): ModelSuggestion[] {
  const { response, groups, runs } = options
  const left = options.onLogScale ? `log(${quoted(response)})` : quoted(response)
  const factors = options.factors.filter(({ name, distinct }) => distinct > 1 && !groups.includes(name))
  const offers = [...offersFor(factors), ...offersWithGroups(factors, groups)]
  const levels = new Map(factors.filter(isCategorical).map(({ name, distinct }) => [name, distinct]))
  for (const group of groups) levels.set(group, levelsOf(group, options.factors))
  return offers.flatMap(({ right, words }) => {
    const model = `${left} ~ ${right}`
    const terms = columnCount(model, levels)
    return terms < runs ? [{ model, words, terms }] : []
  })
}

function isCategorical({ kind }: SuggestFactor): boolean {
  return kind === 'categorical'
}

/** A grouping column that is no factor is taken to hold two groups. */
function levelsOf(group: string, factors: SuggestFactor[]): number {
  return factors.find(({ name }) => name === group)?.distinct ?? 2
}

/** The factor as it enters a model: the speed by its logarithm. */
function written({ name, role }: SuggestFactor): string {
  return role === 'speed' ? `log(${quoted(name)})` : quoted(name)
}

function offersFor(factors: SuggestFactor[]): Offer[] {
  const numeric = factors.filter((factor) => !isCategorical(factor))
  const squares = numeric.filter(({ distinct }) => distinct > 2).map((factor) => `${written(factor)}^2`)
  const straight = factors.map(written).join(' + ')
  const [only] = factors
  if (!only)
    return [{ right: '1', words: 'One value for all runs: choose it while nothing has been varied.' }]
  if (factors.length === 1 && only.role === 'speed' && !isCategorical(only))
    return spinCurve(straight, squares)
  const offers: Offer[] = [
    {
      right: straight,
      words: 'Straight surface: choose it first, and when each factor seems to act on its own.',
    },
  ]
  if (factors.length > 1)
    offers.push({
      right: `(${straight})^2`,
      words: 'Twisted surface: choose it when what one factor does depends on the setting of another.',
    })
  if (squares.length > 0)
    offers.push({
      right: [factors.length > 1 ? `(${straight})^2` : straight, ...squares].join(' + '),
      words:
        'Quadratic surface: choose it when the runs bend away from the straight one, or an optimum lies inside.',
    })
  return offers
}

function spinCurve(straight: string, squares: string[]): Offer[] {
  const line: Offer = {
    right: straight,
    words: 'Spin curve, a power of the speed: choose it first when only the speed was varied.',
  }
  const curved = squares.map((square) => ({
    right: `${straight} + ${square}`,
    words: 'Spin curve with bend: choose it when the plain spin curve is significantly curved.',
  }))
  return [line, ...curved]
}

function offersWithGroups(factors: SuggestFactor[], groups: string[]): Offer[] {
  const straight = factors.map(written).join(' + ')
  const squares = factors
    .filter((each) => !isCategorical(each) && each.distinct > 2)
    .map((each) => `${written(each)}^2`)
  const curved = [factors.length > 1 ? `(${straight})^2` : straight, ...squares].join(' + ')
  return groups.flatMap((group): Offer[] => {
    const name = quoted(group)
    const shifted = {
      right: straight === '' ? name : `${straight} + ${name}`,
      words: `One curve shifted by ${group}: choose it when the ${group}s differ by the same share everywhere.`,
    }
    if (straight === '') return [shifted]
    const bent = {
      right: `${curved} + ${name}`,
      words: `Curved surface shifted by ${group}: choose it when the runs also bend.`,
    }
    return [
      shifted,
      ...(squares.length > 0 ? [bent] : []),
      {
        right: factors.length === 1 ? `${straight} * ${name}` : `(${straight}) * ${name}`,
        words: `A curve for each ${group}: choose it when the ${group}s also differ in slope.`,
      },
    ]
  })
}

function columnCount(model: string, levels: Map<string, number>): number {
  const formula = parseFormula(model)
  if (!formula.ok) return Number.POSITIVE_INFINITY
  const columns = formula.value.terms.map((term) =>
    term.reduce((count, part) => count * ((levels.get(columnOf(part)) ?? 2) - 1), 1),
  )
  return columns.reduce((sum, count) => sum + count, 0)
}
