import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { designKinds } from '../../../shared/contract/choices.ts'
import { plan as planSchema } from '../../../shared/contract/results/plan.ts'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bench, categorical, continuous, fullDesign } from './examples.ts'

const factor = (name: string): fc.Arbitrary<Factor> =>
  fc.oneof(
    fc
      .record({
        low: fc.integer({ min: 1, max: 50 }),
        width: fc.integer({ min: 1, max: 100 }),
        levels: fc.integer({ min: 2, max: 4 }),
        step: fc.constantFrom(null, 0.1, 0.5),
        scale: fc.constantFrom('linear' as const, 'log' as const),
        hardToChange: fc.boolean(),
      })
      .map(({ low, width, ...rest }) => continuous(name, { low, high: low + width, ...rest })),
    fc.constantFrom(categorical(name, ['A', 'B']), categorical(name, ['A', 'B', 'C'])),
  )

const factors = fc
  .integer({ min: 1, max: 4 })
  .chain((k) => fc.tuple(...['a', 'b', 'c', 'd'].slice(0, k).map(factor)))

const settings: fc.Arbitrary<DesignSettings> = fc
  .record(
    {
      kind: fc.constantFrom(...designKinds),
      replicates: fc.integer({ min: 1, max: 2 }),
      centre: fc.integer({ min: 0, max: 4 }),
      blocks: fc.constantFrom(1, 1, 2, 3),
      seed: fc.integer({ min: 0, max: 1000 }),
      runs: fc.integer({ min: 2, max: 30 }),
      star: fc.constantFrom('face' as const, 'rotatable' as const, 'spherical' as const),
      criterion: fc.constantFrom('D' as const, 'I' as const),
      visits: fc.constantFrom(undefined, undefined, undefined, 2, 4, 6),
    },
    { requiredKeys: ['kind', 'replicates', 'centre', 'blocks', 'seed'] },
  )
  .map((some) => fullDesign(some))

describe('whatever is asked for', () => {
  test('the answer is a plan in its shape with every run inside its range, or problems in words', () => {
    let plans = 0
    fc.assert(
      fc.property(factors, settings, (some, design) => {
        const answer = makePlan({ factors: some, design, bench })
        if (!answer.ok) {
          expect(answer.problems.length).toBeGreaterThan(0)
          for (const problem of answer.problems) expect(problem.message).toMatch(/[.]$/)
          return
        }
        plans++
        const plan = answer.value
        expect(planSchema.safeParse(plan).success).toBe(true)
        expect(plan.runs.map((run) => run.runOrder)).toEqual(plan.runs.map((_, i) => i + 1))
        expect(new Set(plan.runs.map((run) => run.standardOrder)).size).toBe(plan.runs.length)
        for (const run of plan.runs)
          for (const { name, kind, low, high, step } of some) {
            if (kind === 'categorical') continue
            expect(Math.abs(run.coded[name] as number)).toBeLessThanOrEqual(1)
            const setting = run.settings[name] as number
            expect(setting).toBeGreaterThanOrEqual(low as number)
            expect(setting).toBeLessThanOrEqual(high as number)
            if (step === null) continue
            const steps = (setting - (low as number)) / step
            expect(Math.abs(steps - Math.round(steps))).toBeLessThan(1e-6)
          }
        const blocks = plan.runs.map((run) => run.block)
        expect(blocks).toEqual([...blocks].sort((a, b) => a - b))
        const visits = plan.runs.map((run) => run.plateVisit)
        if (some.some((one) => one.hardToChange)) expect(visits).toEqual([...visits].sort((a, b) => a! - b!))
        else expect(new Set(visits)).toEqual(new Set([null]))
      }),
      { numRuns: 75, seed: 20 },
    )
    expect(plans).toBeGreaterThan(12)
  })

  test('runs stay out of what is forbidden, kept runs stay as they are and count', () => {
    const some = [
      continuous('a', { levels: 3 }),
      continuous('b', { low: 20, high: 60, step: 5 }),
      continuous('c', { levels: 3, hardToChange: true }),
    ]
    const kept = fc.record({
      a: fc.double({ min: -1, max: 1, noNaN: true }),
      b: fc.integer({ min: 20, max: 60 }),
      c: fc.constantFrom(-1, 0, 1),
    })
    fc.assert(
      fc.property(
        fc.array(kept, { maxLength: 4 }),
        fc.constantFrom(12, 14),
        fc.constantFrom(4, 5),
        fc.integer({ min: 0, max: 99 }),
        (keep, runs, visits, seed) => {
          const design = fullDesign({ kind: 'optimal', runs, visits, seed, keep, forbid: 'a > 0 and b > 40' })
          const answer = makePlan({ factors: some, design, bench })
          if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
          const plan = answer.value
          expect(plan.runs.slice(0, keep.length).map((run) => run.settings)).toEqual(keep)
          const fresh = plan.runs.slice(keep.length)
          expect(fresh).toHaveLength(runs)
          for (const { settings } of fresh)
            expect((settings.a as number) > 0 && (settings.b as number) > 40).toBe(false)
          // A visit is one stretch of runs at one hard setting.
          expect(new Set(fresh.map((run) => run.plateVisit)).size).toBe(visits)
          for (const visit of new Set(fresh.map((run) => run.plateVisit)))
            expect(
              new Set(fresh.filter((run) => run.plateVisit === visit).map((run) => run.settings.c)).size,
            ).toBe(1)
        },
      ),
      { numRuns: 12, seed: 5 },
    )
  })

  test('the same settings give the same plan', () => {
    const some = [
      continuous('a', { levels: 3 }),
      continuous('b', { levels: 3 }),
      categorical('lot', ['A', 'B']),
    ]
    for (const kind of ['full', 'composite', 'space', 'optimal'] as const) {
      const make = () => makePlan({ factors: some, design: fullDesign({ kind, centre: 2, runs: 14 }), bench })
      expect(make()).toEqual(make())
    }
  })
})
