import type { DesignSettings, Factor } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { gridOf } from './code.ts'
import { combinations, type DesignPoint } from './design-point.ts'
import type { DrawnDesign } from './drawn-design.ts'
import { definingWords, type Generator, generatorText, parseGenerators } from './generators.ts'

/**
 * Generators of fractions in common use, by number of factors (A, B, C … in their order): Box, Hunter & Hunter,
 * Statistics for Experimenters (1978), p. 410, as reprinted in the NIST/SEMATECH e-Handbook, 5.3.3.4.7.
 */
export const publishedGenerators: Readonly<Record<number, readonly string[]>> = {
  3: ['C=AB'],
  4: ['D=ABC'],
  5: ['E=ABCD', 'D=AB E=AC'],
  6: ['F=ABCDE', 'E=ABC F=BCD', 'D=AB E=AC F=BC'],
  7: ['G=ABCDEF', 'F=ABCD G=ABDE', 'E=ABC F=BCD G=ACD', 'D=AB E=AC F=BC G=ABC'],
  8: ['G=ABCD H=ABEF', 'F=ABC G=ABD H=BCDE', 'E=BCD F=ACD G=ABC H=ABD'],
  9: ['F=BCDE G=ACDE H=ABDE I=ABCE', 'E=ABC F=BCD G=ACD H=ABD I=ABCD'],
  11: ['E=ABC F=BCD G=ACD H=ABD I=ABCD J=AB K=AC'],
}

/** Generators written in letters, the first factor A. */
export function lettered(text: string): Generator[] {
  return text.split(' ').map((part) => {
    const [left, right] = part.split('=') as [string, string]
    const place = (letter: string) => letter.charCodeAt(0) - 65
    return { factor: place(left), product: [...right].map(place), sign: 1 }
  })
}

/** The columns of a fraction over its basic factors in standard order, the generated ones their products. */
export function fractionColumns(factors: number, generators: readonly Generator[]): (1 | -1)[][] {
  const generated = new Set(generators.map(({ factor }) => factor))
  const basic = Array.from({ length: factors }, (_, i) => i).filter((factor) => !generated.has(factor))
  return combinations<1 | -1>(basic.map(() => [-1, 1])).map((values) => {
    const row = new Array<1 | -1>(factors).fill(1)
    basic.forEach((factor, i) => {
      row[factor] = values[i] as 1 | -1
    })
    for (const { factor, product, sign } of generators)
      row[factor] = product.reduce<number>((value, place) => value * (row[place] as number), sign) as 1 | -1
    return row
  })
}

/**
 * A fraction of the two-level grid, by the generators of the settings or, without them, the published one with
 * the asked number of runs, or the smallest published one whose main effects are clear of two-factor
 * interactions.
 */
export function twoLevelFraction(factors: readonly Factor[], settings: DesignSettings): Answer<DrawnDesign> {
  const wide = factors.find((factor) => factor.kind === 'categorical' && factor.levelNames.length > 2)
  if (wide !== undefined)
    return refuse(
      'twoLevels',
      `${wide.name} has ${wide.levelNames.length} levels; a two-level fraction takes 2.`,
      {
        column: wide.name,
      },
    )
  const chosen = chosenGenerators(factors, settings)
  if (!chosen.ok) return chosen
  const generators = chosen.value
  return good({
    size: 2 ** (factors.length - generators.length),
    points: () => pointsOf(factors, generators),
    words: fractionWords(factors, generators),
  })
}

function pointsOf(factors: readonly Factor[], generators: readonly Generator[]): DesignPoint[] {
  return fractionColumns(factors.length, generators).map((row) => ({
    kind: 'factorial',
    coded: row.map((sign, f) => {
      const grid = gridOf(factors[f] as Factor)
      return (sign < 0 ? grid[0] : grid.at(-1)) as number | string
    }),
  }))
}

function chosenGenerators(factors: readonly Factor[], settings: DesignSettings): Answer<Generator[]> {
  const k = factors.length
  if (settings.fraction !== undefined && settings.fraction.trim() !== '') {
    const parsed = parseGenerators(
      settings.fraction,
      factors.map((factor) => factor.name),
    )
    if (parsed.ok && k - parsed.value.length < 2)
      return refuse('generator', 'A fraction needs at least two factors that are not generated.', {
        column: 'fraction',
      })
    return parsed
  }
  const published = (publishedGenerators[k] ?? []).map(lettered)
  if (published.length === 0)
    return refuse(
      'noFraction',
      `There is no published fraction in the list for ${k} factors. Name the generators, such as ‘d = a.b.c’.`,
      { column: 'fraction' },
    )
  if (settings.runs !== undefined) {
    const asked = published.find((generators) => 2 ** (k - generators.length) === settings.runs)
    if (asked !== undefined) return good(asked)
    const sizes = published.map((generators) => 2 ** (k - generators.length)).join(' or ')
    return refuse(
      'noFraction',
      `A published fraction for ${k} factors has ${sizes} runs, not ${settings.runs}.`,
      {
        column: 'runs',
      },
    )
  }
  const clear = published.filter((generators) => resolutionOf(generators) >= 4)
  return good((clear.at(-1) ?? published[0]) as Generator[])
}

/** Length of the shortest defining word; infinite for the whole grid. */
export function resolutionOf(generators: readonly Generator[]): number {
  return definingWords(generators)[0]?.factors.length ?? Number.POSITIVE_INFINITY
}

const roman = ['', 'I', 'II', 'III', 'IV', 'V', 'VI', 'VII', 'VIII', 'IX', 'X', 'XI', 'XII']

function fractionWords(factors: readonly Factor[], generators: readonly Generator[]): string {
  if (generators.length === 0) return ''
  const names = factors.map((factor) => factor.name)
  const words = definingWords(generators)
  const shown = words
    .slice(0, 7)
    .map(({ factors: places, sign }) => `${sign < 0 ? '−' : ''}${places.map((i) => names[i]).join('.')}`)
  const more = words.length > shown.length ? ` and ${words.length - shown.length} longer ones` : ''
  const ends = factors.some((factor) => factor.kind === 'continuous' && factor.levels > 2)
    ? ' Only the low and the high end of each factor are run.'
    : ''
  const resolution = resolutionOf(generators)
  return (
    `A 1/${2 ** generators.length} fraction of the two-level grid, resolution ${roman[resolution]}, by ` +
    `${generators.map((generator) => generatorText(generator, names)).join(', ')}. ` +
    `Always the same in every run: ${shown.join(', ')}${more}.${meaning(resolution)}${ends}`
  )
}

function meaning(resolution: number): string {
  if (resolution <= 2) return ' Main effects are mixed with each other.'
  if (resolution === 3) return ' Main effects are mixed with two-factor interactions.'
  if (resolution === 4)
    return ' Main effects are clear of two-factor interactions, which are mixed with each other.'
  return ' Main effects and two-factor interactions are clear of each other.'
}
