import { describe, expect, test } from 'vitest'
import { stepHeight, type TracePoint } from '../../../shared/film/step-height.ts'
import { seeded } from '../../../shared/random.ts'

const trace = (count: number, from: number, to: number, height: (x: number) => number): TracePoint[] =>
  Array.from({ length: count }, (_, i) => {
    const position = from + ((to - from) * i) / (count - 1)
    return { position, height: height(position) }
  })
const code = (answer: ReturnType<typeof stepHeight>) => (answer.ok ? 'ok' : answer.problems[0]?.code)

describe('the step of a trace', () => {
  test('is positive for a ridge and negative for a groove', () => {
    for (const height of [800, -800]) {
      const found = stepHeight(trace(601, 0, 600, (x) => (x > 250 && x < 350 ? height : 0)))
      expect(found.ok && found.value.step).toBeCloseTo(height, 9)
    }
  })

  test('is found in a long, tilted, noisy trace away from its middle, within its uncertainty', () => {
    const random = seeded(5)
    const points = trace(
      20001,
      0,
      1000,
      (x) => (x > 300 && x < 500 ? 800 : 0) + 0.3 * x + 8 * random.normal(),
    )
    const found = stepHeight(points)
    if (!found.ok) throw new Error('not found')
    const { step, standardUncertainty, slope, residualStandardDeviation, width } = found.value
    expect(Math.abs(step - 800)).toBeLessThan(4 * standardUncertainty)
    expect(slope).toBeCloseTo(0.3, 2)
    expect(residualStandardDeviation).toBeCloseTo(8, 0)
    expect(Math.abs(width - 200)).toBeLessThan(0.2)
  })

  test('does not depend on the order of the points', () => {
    const points = trace(301, -150, 150, (x) => (Math.abs(x) < 50 ? -500 : 0) + 0.2 * x)
    expect(stepHeight(seeded(1).shuffled(points))).toEqual(stepHeight(points))
  })

  test('has the standard uncertainty of least squares', () => {
    // lm(z ~ x + inside) in R 4.2.2: standard error of `inside` 1.4142135623731, residual standard error 2.
    const x = [-12, -11, -10, -1, 0, 1, 10, 11, 12]
    const points = x.map((position, i) => ({
      position,
      height: (Math.abs(position) < 5 ? 100 : 0) + [1, -2, 1, 1, -2, 1, 1, -2, 1][i]! * Math.sqrt(4 / 3),
    }))
    const found = stepHeight(points, { edges: [-5, 5] })
    expect(found.ok && found.value.residualStandardDeviation).toBeCloseTo(2, 12)
    expect(found.ok && found.value.uncertainty.residuals).toBeCloseTo(Math.SQRT2, 12)
  })
})

describe('a trace without an answer', () => {
  test('holds no step', () => {
    const random = seeded(9)
    expect(code(stepHeight(trace(500, 0, 100, () => random.normal())))).toBe('noStep')
    expect(
      code(
        stepHeight(
          trace(500, 0, 100, (x) => (x > 40 ? 100 : 0)),
          { kind: 'step' },
        ),
      ),
    ).toBe('noStep')
    expect(code(stepHeight(trace(500, 0, 100, () => 7)))).toBe('noStep')
    expect(code(stepHeight(trace(500, 0, 100, (x) => 0.02 * (x - 50) ** 2)))).toBe('noStep')
    expect(code(stepHeight([]))).toBe('noStep')
  })

  test('has its edges the wrong way round', () => {
    expect(
      code(
        stepHeight(
          trace(100, 0, 99, () => 1),
          { edges: [60, 40] },
        ),
      ),
    ).toBe('badStep')
  })

  test('ends too soon beyond the step', () => {
    const short = stepHeight(
      trace(200, 0, 199, (x) => (x > 20 && x < 180 ? 100 : 0)),
      { edges: [20, 180] },
    )
    expect(code(short)).toBe('traceTooShort')
    expect(!short.ok && short.problems[0]?.message).toContain('160 µm')
  })
})
