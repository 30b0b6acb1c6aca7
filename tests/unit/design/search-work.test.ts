import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { exchangeCoordinates } from '../../../shared/design/coordinate-exchange.ts'
import { termAt, usualTerms } from '../../../shared/design/design-terms.ts'
import { dot } from '../../../shared/design/information.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { levelProducts, rangeProducts, splitBy } from '../../../shared/design/row-products.ts'
import { seeded } from '../../../shared/random.ts'
import { bench, categorical, continuous, fullDesign } from './examples.ts'

describe('products of a row of which one factor changes', () => {
  const factors = [continuous('a'), continuous('b'), categorical('c', ['A', 'B', 'C'])]
  const terms = usualTerms(factors, () => true)
  const p = terms.length
  const coded = fc.double({ min: -1, max: 1, noNaN: true })

  test('are those of the whole row, by their definition', () => {
    fc.assert(
      fc.property(
        coded,
        coded,
        fc.integer({ min: 0, max: 2 }),
        fc.constantFrom([0, 0.3], [1, -0.8], [2, 0], [2, 1], [2, 2]),
        fc.integer({ min: 0, max: 1000 }),
        (a, b, c, [f, to], seed) => {
          const random = seeded(seed)
          const matrix = new Float64Array(p * p)
          for (let j = 0; j < p; j++)
            for (let i = j; i < p; i++) matrix[i + j * p] = matrix[j + i * p] = random.uniform() - 0.5
          const times = (x: Float64Array) =>
            x.map((_, i) => x.reduce((sum, value, j) => sum + matrix[i + j * p]! * value, 0))
          const place = Float64Array.of(a, b, c)
          const row = Float64Array.from(terms, (term) => termAt(term, place))
          const moved = Float64Array.from(place)
          moved[f!] = to!
          const there = Float64Array.from(terms, (term) => termAt(term, moved))
          const split = splitBy(terms, f!)
          const bend = { place, f: f!, row, matrix, image: times(row) }
          const products = f === 2 ? levelProducts(split, bend) : rangeProducts(split, bend)
          expect(products.both(to!)).toBeCloseTo(dot(there, times(row)), 10)
          expect(products.to(to!)).toBeCloseTo(dot(there, times(there)), 10)
        },
      ),
    )
  })
})

describe('the work of a search', () => {
  const factors = [continuous('a', { levels: 3 }), continuous('b', { levels: 3 })]
  const three = { coarse: Float64Array.of(-1, 0, 1), fine: Float64Array.of(-1, 0, 1), free: false }
  const search = (work: number) =>
    exchangeCoordinates({
      factors,
      terms: usualTerms(factors, () => true),
      criterion: 'D',
      runs: 9,
      blocks: 1,
      fixed: [],
      choices: [three, three],
      allowed: null,
      random: seeded(1),
      starts: 12,
      work,
    })

  test('ends after one start where it allows no more, and is no limit where it is ample', () => {
    expect(search(1)).toMatchObject({ starts: 1 })
    expect(search(1)?.places).toHaveLength(9)
    expect(search(1e9)).toMatchObject({ starts: 12 })
    const some = search(60_000)?.starts ?? 0
    expect(some).toBeGreaterThan(1)
    expect(some).toBeLessThan(12)
  })

  test('a plan says so where its starts are fewer than usual', () => {
    const wordsOf = (count: number, runs: number) => {
      const many = Array.from({ length: count }, (_, i) => continuous('abcdef'[i]!, { levels: 3 }))
      const answer = makePlan({ factors: many, design: fullDesign({ kind: 'optimal', runs }), bench })
      return answer.ok ? answer.value.designInWords : JSON.stringify(answer.problems)
    }
    expect(wordsOf(2, 8)).toContain('by a seeded search)')
    expect(wordsOf(6, 30)).toMatch(/by a seeded search from \d starts instead of 40\)/)
  })
})
