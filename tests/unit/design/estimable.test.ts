import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type DesignTerm, usualTerms } from '../../../shared/design/design-terms.ts'
import { estimable, firstEstimable, termGroups } from '../../../shared/design/estimable.ts'
import { categorical, continuous } from './examples.ts'

const three = ['a', 'b', 'c'].map((name) => continuous(name))
const terms = usualTerms(three, () => false)
const place = (...at: number[]) => Float64Array.from(at)
/** The half fraction with c = ab: main effects and two-factor interactions cannot be told apart (resolution III). */
const half = [place(-1, -1, 1), place(1, -1, -1), place(-1, 1, -1), place(1, 1, 1)]
const names = (list: readonly DesignTerm[]) => list.map(({ name }) => name)

test('in a half fraction of resolution III only the constant stands alone', () => {
  expect(names(terms.filter((_, t) => estimable(terms, half)[t]))).toEqual(['constant'])
  const mains = terms.slice(0, 4)
  expect(estimable(mains, half)).toEqual([true, true, true, true])
})

test('the first terms in order are kept, a number of them at most, those of one factor’s levels together', () => {
  expect(names(firstEstimable(termGroups(terms), half).flat())).toEqual(['constant', 'a', 'b', 'c'])
  expect(names(firstEstimable(termGroups(terms), half, 3).flat())).toEqual(['constant', 'a', 'b'])
  const lot = categorical('lot', ['A', 'B', 'C'])
  const mixed = usualTerms([lot, continuous('a')], () => false)
  const groups = termGroups(mixed)
  expect(groups.map(names)).toEqual([['constant'], ['lot[B]', 'lot[C]'], ['a'], ['lot[B].a', 'lot[C].a']])
  const places = [place(0, -1), place(1, 1), place(2, -1), place(0, 1)]
  // Two columns of the lot do not fit where two are allowed; the one of a does.
  expect(names(firstEstimable(groups, places, 2).flat())).toEqual(['constant', 'a'])
})

test('a further run never takes away what could be estimated', () => {
  const places = fc.array(
    fc.tuple(
      fc.integer({ min: -1, max: 1 }),
      fc.integer({ min: -1, max: 1 }),
      fc.integer({ min: -1, max: 1 }),
    ),
    { minLength: 1, maxLength: 10 },
  )
  fc.assert(
    fc.property(places, (runs) => {
      const made = runs.map((run) => place(...run))
      const before = estimable(terms, made.slice(0, -1))
      const after = estimable(terms, made)
      expect(before.every((was, t) => !was || after[t])).toBe(true)
    }),
    { numRuns: 60 },
  )
})
