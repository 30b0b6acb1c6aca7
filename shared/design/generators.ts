import { quoted } from '../model/expression.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'

/** A generated factor: its column is the product of those of other factors, or the opposite of it. */
export type Generator = { factor: number; product: number[]; sign: 1 | -1 }

/**
 * Reads generators such as `ramp = speed.time, bake = -speed.time.dose`; factors by name, in double quotes
 * where the name holds more than letters, digits and `_`; `:` is read as `.`.
 *
 * @param names of all factors, generated ones among them
 */
export function parseGenerators(text: string, names: readonly string[]): Answer<Generator[]> {
  const problems: Problem[] = []
  const fail = (message: string) => problems.push({ code: 'generator', message, column: 'fraction' })
  const generators: Generator[] = []
  for (const part of split(text, /[,;]/)) {
    const sides = split(part, /=/)
    if (sides.length !== 2) {
      fail(`‘${part.trim()}’ is no generator. Write one as ‘factor = factor.factor’.`)
      continue
    }
    const [left, right] = sides as [string, string]
    const negative = /^[-\u2212]/.test(right.trim())
    const written = [left, ...split(right.trim().replace(/^[-+\u2212]/, ''), /[.:]/)].map(unquoted)
    const places = written.map((name) => names.indexOf(name))
    places.forEach((place, i) => {
      if (place < 0)
        fail(`The generators name ‘${written[i]}’, which is no factor. They are ${names.join(', ')}.`)
    })
    const [factor, ...product] = places as [number, ...number[]]
    if (product.length < 2)
      fail(`‘${part.trim()}’: a factor is made from the product of at least two others.`)
    if (new Set(places).size < places.length) fail(`‘${part.trim()}’ names a factor twice.`)
    generators.push({ factor, product, sign: negative ? -1 : 1 })
  }
  if (problems.length > 0) return { ok: false, problems }
  const generated = generators.map(({ factor }) => factor)
  const twice = generated.find((factor, i) => generated.indexOf(factor) !== i)
  if (twice !== undefined)
    return refuse('generator', `${names[twice]} has two generators.`, { column: 'fraction' })
  const chained = generators.flatMap(({ product }) => product).find((factor) => generated.includes(factor))
  if (chained !== undefined)
    return refuse(
      'generator',
      `${names[chained]} is generated itself, so it cannot stand in the product of another generator.`,
      { column: 'fraction' },
    )
  return good(generators)
}

/** A generator as it is written. */
export function generatorText({ factor, product, sign }: Generator, names: readonly string[]): string {
  const right = product.map((place) => quoted(names[place] as string)).join('.')
  return `${quoted(names[factor] as string)} = ${sign < 0 ? '−' : ''}${right}`
}

/** A defining word: the factors whose product is the same in every run, and which sign it has. */
export type DefiningWord = { factors: number[]; sign: 1 | -1 }

/**
 * All defining words of a fraction (the products of its generators' words), shortest first. The length of the
 * first is the resolution: in one of resolution R no effect of p factors is mixed with one of fewer than R − p
 * (Box, Hunter & Hunter, Statistics for Experimenters, 1978).
 */
export function definingWords(generators: readonly Generator[]): DefiningWord[] {
  let words: { mask: number; sign: 1 | -1 }[] = [{ mask: 0, sign: 1 }]
  for (const { factor, product, sign } of generators) {
    const mask = [factor, ...product].reduce((bits, place) => bits | (1 << place), 0)
    words = [
      ...words,
      ...words.map((word) => ({ mask: word.mask ^ mask, sign: (word.sign * sign) as 1 | -1 })),
    ]
  }
  return words
    .slice(1)
    .map(({ mask, sign }) => ({
      factors: Array.from({ length: 31 }, (_, i) => i).filter((i) => mask & (1 << i)),
      sign,
    }))
    .sort((a, b) => a.factors.length - b.factors.length || compare(a.factors, b.factors))
}

function compare(a: readonly number[], b: readonly number[]): number {
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return (a[i] as number) - (b[i] as number)
  return 0
}

/** Splits where a separator stands outside double quotes; empty parts are left out. */
function split(text: string, separator: RegExp): string[] {
  const parts = ['']
  let inside = false
  for (const letter of text) {
    if (letter === '"') inside = !inside
    if (!inside && separator.test(letter)) parts.push('')
    else parts[parts.length - 1] += letter
  }
  return parts.filter((part) => part.trim() !== '')
}

function unquoted(name: string): string {
  const trimmed = name.trim()
  return /^".*"$/.test(trimmed) ? trimmed.slice(1, -1).replaceAll('""', '"') : trimmed
}
