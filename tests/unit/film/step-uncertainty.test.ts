import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { effectiveNumber } from '../../../shared/film/effective-number.ts'
import { meanStep } from '../../../shared/film/mean-step.ts'
import { type StepOptions, stepHeight } from '../../../shared/film/step-height.ts'
import { seeded } from '../../../shared/random.ts'
import { type ComputedTrace, computedTrace } from './computed-trace.ts'

function stepOf(given: ComputedTrace, options: StepOptions = {}) {
  const found = stepHeight(computedTrace(given), options)
  if (!found.ok) throw new Error(found.problems[0]?.message)
  return found.value
}
const codes = (found: { warnings: { code: string }[] }) => found.warnings.map(({ code }) => code)

const groove = { step: -800, edges: [500, 700], noise: 5 }
const traces = 40

/** Share of computed traces whose known step lies within two standard uncertainties of what is found. */
function coverage(given: ComputedTrace, options: StepOptions = {}) {
  let covered = 0
  for (let seed = 1; seed <= traces; seed++) {
    const found = stepOf({ ...given, spacing: 2, seed }, options)
    if (Math.abs(found.step - given.step) <= 2 * found.standardUncertainty) covered++
  }
  return covered / traces
}

describe('the known step of computed traces lies within two standard uncertainties', () => {
  // 95 % less three binomial standard deviations of 40 traces.
  const least = 0.95 - 3 * Math.sqrt((0.95 * 0.05) / traces)

  test.each<[string, ComputedTrace, StepOptions]>([
    ['noise and tilt', { ...groove, tilt: 2 }, {}],
    ['noise that neighbours share', { ...groove, shared: 0.9 }, {}],
    ['a bow left in', { ...groove, bow: 0.0003 }, {}],
    ['a bow taken out', { ...groove, bow: 0.0003 }, { bow: true }],
    ['spikes', { ...groove, spikes: { share: 0.05, size: 400 } }, {}],
    ['banks thrown up beside a scratch', { ...groove, banks: { height: 600, width: 12 } }, {}],
    ['debris', { ...groove, debris: [{ from: 330, to: 360, height: 300 }] }, {}],
    ['a low ridge', { step: 40, edges: [500, 700], noise: 5, shared: 0.8 }, {}],
    ['a single edge', { step: 900, edges: [500], noise: 5, tilt: 1, shared: 0.9 }, {}],
    ['a bowed single edge', { step: -900, edges: [600], noise: 5, bow: 0.0002 }, {}],
  ])('%s', (_, given, options) => {
    expect(coverage(given, options)).toBeGreaterThan(least)
  })
})

describe('spikes and debris', () => {
  test('are left out and counted', () => {
    const clean = stepOf(groove)
    const dirty = stepOf({ ...groove, debris: [{ from: 330, to: 360, height: 300 }] })
    expect(clean.points.leftOut).toBeLessThan(3)
    // 30 µm at two points a µm, both ends included.
    expect(dirty.points.leftOut - clean.points.leftOut).toBe(61)
    expect(Math.abs(dirty.step - clean.step)).toBeLessThan(0.5)
  })

  test('are warned of where they are many', () => {
    const found = stepOf({ ...groove, debris: [{ from: 310, to: 400, height: 300 }] })
    expect(codes(found)).toContain('manyLeftOut')
  })
})

describe('the kinds', () => {
  test('are named: groove, ridge, edge', () => {
    expect(stepOf(groove).kind).toBe('groove')
    expect(stepOf({ ...groove, step: 800 }).kind).toBe('ridge')
    const edge = stepOf({ step: 900, edges: [500], noise: 5 })
    expect(edge.kind).toBe('edge')
    expect(edge.regions.middle).toBeNull()
    expect(codes(edge)).toContain('singleEdge')
    expect(codes(stepOf(groove))).toEqual([])
  })

  test('a single edge is extrapolated to the middle of its transition by two parallel lines', () => {
    // A ramp of 20 µm between two lines of slope 0.5 nm/µm, 300 nm apart; exact without noise.
    const points = Array.from({ length: 401 }, (_, i) => {
      const along = Math.min(1, Math.max(0, (i - 190) / 20))
      return { position: i, height: 0.5 * i + 300 * along }
    })
    for (const options of [{}, { kind: 'edge' as const, edges: [190, 210] as [number, number] }]) {
      const found = stepHeight(points, options)
      expect(found.ok && found.value.step).toBeCloseTo(300, 9)
      expect(found.ok && found.value.slope).toBeCloseTo(0.5, 12)
    }
  })

  test('a bow is warned of and given with its result, or taken out and said so', () => {
    const bowed = { step: -1250, edges: [90, 180], length: 270, spacing: 1, bow: 0.002 }
    const edges: [number, number] = [90, 180]
    const found = stepOf(bowed, { edges })
    expect(found.step).toBeCloseTo(-1272.51, 8)
    expect(found.stepWithBow).toBeCloseTo(-1250, 8)
    expect(found.uncertainty.form).toBeCloseTo(22.51, 8)
    expect(codes(found)).toContain('bowed')
    const out = stepOf(bowed, { edges, bow: true })
    expect(out.step).toBeCloseTo(-1250, 8)
    expect(out.bow).toBeCloseTo(0.002, 12)
    expect(codes(out)).toContain('bowTakenOut')
    expect(codes(out)).not.toContain('bowed')
  })
})

test('lifting, tilting and turning a trace over changes the step as it must', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 1000 }),
      fc.double({ min: -3, max: 3, noNaN: true }),
      fc.double({ min: -1000, max: 1000, noNaN: true }),
      (seed, tilt, lift) => {
        const points = computedTrace({ ...groove, spacing: 4, shared: 0.5, seed })
        const edges: [number, number] = [500, 700]
        const plain = stepHeight(points, { edges })
        const moved = stepHeight(
          points.map(({ position, height }) => ({ position, height: -(height + tilt * position + lift) })),
          { edges },
        )
        if (!plain.ok || !moved.ok) throw new Error('not found')
        expect(moved.value.step).toBeCloseTo(-plain.value.step, 6)
        expect(moved.value.standardUncertainty).toBeCloseTo(plain.value.standardUncertainty, 6)
      },
    ),
    { seed: 3, numRuns: 30 },
  )
})

describe('how many independent points residuals are worth', () => {
  test('is nearly all of white noise', () => {
    const random = seeded(4)
    const noise = Float64Array.from({ length: 5000 }, () => random.normal())
    expect(effectiveNumber([noise])).toBeGreaterThan(4500)
  })

  test('is n·(1 − ρ)/(1 + ρ) of an autoregressive series', () => {
    // The sum of ρ^k over all lags, exact for the first-order autoregressive series.
    const random = seeded(5)
    let last = 0
    const series = Float64Array.from({ length: 40000 }, () => {
      last = 0.8 * last + random.normal()
      return last
    })
    expect(effectiveNumber([series]) / (40000 / 9)).toBeGreaterThan(0.85)
    expect(effectiveNumber([series]) / (40000 / 9)).toBeLessThan(1.15)
  })
})

describe('the mean of several scans', () => {
  const scans = [1, 2, 3, 4, 5].map((seed) => stepOf({ ...groove, spacing: 2, seed }))

  test('has s/√n or what the residuals allow, whichever is more, and keeps what scans share', () => {
    const apart = scans.map((scan, i) => ({ ...scan, step: scan.step + 20 * i }))
    const found = meanStep(apart)
    if (!found.ok) throw new Error('no mean')
    const steps = apart.map(({ step }) => step)
    const mean = steps.reduce((a, b) => a + b) / 5
    const s = Math.sqrt(steps.reduce((sum, step) => sum + (step - mean) ** 2, 0) / 4)
    expect(found.value.step).toBeCloseTo(mean, 10)
    expect(found.value.standardDeviation).toBeCloseTo(s, 10)
    expect(found.value.uncertainty.scatter).toBeCloseTo(s / Math.sqrt(5), 10)
    const same = meanStep([scans[0]!, scans[0]!])
    expect(same.ok && same.value.uncertainty.scatter).toBeCloseTo(
      scans[0]!.uncertainty.residuals / Math.SQRT2,
      10,
    )
  })

  test('of one scan is that scan', () => {
    const found = meanStep([scans[0]!])
    expect(found.ok && found.value.step).toBe(scans[0]!.step)
    expect(found.ok && found.value.standardUncertainty).toBeCloseTo(scans[0]!.standardUncertainty, 10)
  })

  test('is refused of different kinds', () => {
    const other = stepOf({ ...groove, step: 800 })
    expect(meanStep([scans[0]!, other])).toMatchObject({ ok: false, problems: [{ code: 'kindsDiffer' }] })
  })
})
