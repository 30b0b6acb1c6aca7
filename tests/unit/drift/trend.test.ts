import fc from 'fast-check'
import { expect, test } from 'vitest'
import { stretchesOf } from '../../../shared/drift/stretches.ts'
import { changeBeyond, levelNow, trendWithin } from '../../../shared/drift/trend.ts'

const x = [0, 1, 2, 4, 5, 0, 1, 3, 4, 0, 2, 5]
const y = [0.1, 0.35, 0.2, 0.5, 0.62, -0.1, 0.15, 0.3, 0.22, 0.9, 1.0, 1.4]
const stretches = stretchesOf(12, [
  { words: 'fresh bottle', before: 5 },
  { words: 'plate recalibrated', before: 9 },
])

test('one slope with a level for each stretch is R’s lm(y ~ stretch + x)', () => {
  // R: s <- factor(rep(1:3, c(5, 4, 3))); summary(lm(y ~ s + x)); confint(…)
  const trend = trendWithin(x, y, stretches)!
  expect(trend.slope).toBeCloseTo(0.0926086956522, 11)
  expect(trend.standardError).toBeCloseTo(0.0146107195579, 11)
  expect(trend.sigma).toBeCloseTo(0.0922521650506, 11)
  expect(trend.df).toBe(8)
  expect(trend.p).toBeCloseTo(2.23369536695e-4, 12)
  expect(trend.lower).toBeCloseTo(0.05891631593334, 9)
  expect(trend.upper).toBeCloseTo(0.126301075371, 9)
})

test('a change beyond the trend is the difference of levels of the same lm, also where the stretches lie apart', () => {
  // R: s <- relevel(s, "1"); summary(lm(y ~ s + x))$coefficients; confint(…); and the same with "2" as the reference.
  const trend = trendWithin(x, y, stretches)!
  const [first, second] = [0, 1].map((i) => changeBeyond(x, y, [stretches[i]!, stretches[i + 1]!], trend)!)
  expect(first).toMatchObject({ df: 8 })
  expect(first!.change).toBeCloseTo(-0.1744565217391, 11)
  expect(first!.standardError).toBeCloseTo(0.0621599837564, 11)
  expect(first!.p).toBeCloseTo(2.29640148564e-2, 11)
  expect(first!.lower).toBeCloseTo(-0.31779770132559, 9)
  expect(second!.change).toBeCloseTo(0.9266304347826, 11)
  expect(second!.standardError).toBeCloseTo(0.0706268743293, 11)
  expect(second!.upper).toBeCloseTo(1.0894962990425, 9)
  expect(changeBeyond(x, y, [stretches[0]!, { from: 5, to: 5 }], trend)).toBeNull()
})

test('the level at the last reading is R’s predict at the last stretch', () => {
  // R: predict(m, data.frame(x = 5, s = "3"), se.fit = TRUE)
  const level = levelNow(x, y, stretches[2]!, trendWithin(x, y, stretches)!)
  expect(level.estimate).toBeCloseTo(1.34695652174, 10)
  expect(level.standardError).toBeCloseTo(0.0659913007175, 11)
})

test('levels of stretches do not move the slope, and too few readings give none', () => {
  fc.assert(
    fc.property(
      fc.tuple(fc.double({ min: -5, max: 5, noNaN: true }), fc.double({ min: -5, max: 5, noNaN: true })),
      ([a, b]) => {
        const moved = y.map((value, i) => value + (i < 5 ? 0 : i < 9 ? a : b))
        expect(trendWithin(x, moved, stretches)!.slope).toBeCloseTo(trendWithin(x, y, stretches)!.slope, 9)
      },
    ),
  )
  expect(trendWithin([1, 2], [1, 2], stretchesOf(2, []))).toBeNull()
  expect(trendWithin([1, 1, 1], [1, 2, 3], stretchesOf(3, []))).toBeNull()
})

test('events at one place stand between the same two stretches', () => {
  const same = [
    { words: 'bowl cleaned', before: 3 },
    { words: 'fresh bottle', before: 3 },
  ]
  expect(stretchesOf(5, same)).toEqual([
    { from: 0, to: 3 },
    { from: 3, to: 5 },
  ])
})
