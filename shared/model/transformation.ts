import type { Transformation } from '../contract/results/fit.ts'
import { type Answer, good } from '../problem.ts'
import { type BoxCox, boxCox } from './box-cox.ts'
import type { Table } from './table.ts'

/** Powers that have a name, in the order in which they are preferred. */
const namedPowers = [
  { power: 0, words: 'a logarithm' },
  { power: 1, words: 'the response as it was measured' },
  { power: 0.5, words: 'a square root' },
  { power: -1, words: 'an inverse' },
  { power: -0.5, words: 'an inverse square root' },
] as const

/** Which transformation of the response the readings support under the terms of a model; options as of {@link boxCox}. */
export function transformationOf(options: {
  table: Table
  model: string
  weights?: string
  level?: number
}): Answer<Transformation> {
  const found = boxCox(options)
  if (!found.ok) return found
  const { lambda, logLikelihood, lower, upper } = found.value
  return good({ lambda, logLikelihood, lower, upper, words: inWords(found.value, options.level ?? 0.95) })
}

function inWords({ lambda, lower, upper }: BoxCox, level: number): string {
  const number = (value: number) => value.toFixed(2).replace('-', '−')
  const end = (value: number | null, beyond: string) => (value === null ? beyond : number(value))
  const figures =
    `λ ${number(lambda)}, ${end(lower, 'below −5')} to ${end(upper, 'above 5')} ` +
    `at ${Number((100 * level).toPrecision(6))} %`
  const inside = namedPowers.filter(
    ({ power }) =>
      power >= (lower ?? Number.NEGATIVE_INFINITY) && power <= (upper ?? Number.POSITIVE_INFINITY),
  )
  const [first] = inside
  if (!first) {
    const nearest = Number(lambda.toFixed(1))
    return `The readings support none of the usual transformations, but a power of about ${number(nearest)} (${figures}).`
  }
  const powers = inside.map(({ power }) => power as number)
  if (powers.includes(0) && powers.includes(1))
    return `The readings do not tell a logarithm from the response as it was measured (${figures}): either will do.`
  const others = inside.slice(1).map(({ words }) => words)
  const also = others.length > 0 ? ` ${others.join(' and ')} would do as well;` : ''
  const against = powers.includes(1)
    ? 'they speak against a logarithm.'
    : powers.includes(0)
      ? 'they speak against the response as it was measured.'
      : 'they speak against a logarithm and against the response as it was measured.'
  return `The readings support ${first.words} (${figures});${also} ${against}`
}
