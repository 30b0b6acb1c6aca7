import { expect, test } from 'vitest'
import { normalPlace, normalScores } from '../../../shared/charts/normal-scores.ts'

test('places of the normal distribution agree with R 4.2.2, qnorm', () => {
  expect(normalPlace(1e-5)).toBeCloseTo(-4.264890793922826, 9)
  expect(normalPlace(0.001)).toBeCloseTo(-3.090232306167813, 11)
  expect(normalPlace(0.25)).toBeCloseTo(-0.674489750196082, 12)
  expect(normalPlace(0.9)).toBeCloseTo(1.281551565544601, 12)
})

test('scores of seven values agree with R 4.2.2, qnorm((1:7 - 0.375) / 7.25), in the order given', () => {
  const reference = [
    -1.364488748170328, -0.758292556991152, -0.352933986126916, 0, 0.352933986126917, 0.758292556991152,
    1.364488748170329,
  ]
  const values = [3, 1, 2, 7, 5, 4, 6]
  const scores = normalScores(values)
  values.forEach((value, k) => {
    expect(scores[k]).toBeCloseTo(reference[value - 1]!, 12)
  })
})

test('no values have no scores', () => {
  expect(normalScores([])).toEqual([])
})
