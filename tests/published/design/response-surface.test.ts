import { describe, expect, test } from 'vitest'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { starDistance } from '../../../shared/design/composite.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bench, continuous, fullDesign } from '../../unit/design/examples.ts'

const factorsOf = (k: number) => Array.from({ length: k }, (_, i) => continuous('ABCDEFG'[i]!))

function planOf(factors: Factor[], change: Partial<DesignSettings>) {
  const answer = makePlan({ factors, design: fullDesign(change), bench })
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return { ...answer.value, runs: [...answer.value.runs].sort((a, b) => a.standardOrder - b.standardOrder) }
}

describe('central composite', () => {
  // Star distance and runs without centre points: NIST/SEMATECH e-Handbook, 5.3.3.6.1 (three decimals printed,
  // from memory; recomputed as the fourth root of the cube's runs and the square root of the factors).
  test.each([
    [2, Math.SQRT2, Math.SQRT2, 8],
    [3, 1.681793, 1.732051, 14],
    [4, 2, 2, 24],
    [5, 2, 2.236068, 26],
    [6, 2.378414, 2.44949, 44],
  ])('of %i factors has the published star and runs', (k, rotatable, spherical, size) => {
    for (const [star, distance] of [
      ['rotatable', rotatable],
      ['spherical', spherical],
    ] as const) {
      const plan = planOf(factorsOf(k), { kind: 'composite', star })
      expect(plan.runs).toHaveLength(size)
      const cube = plan.runs.filter((run) => run.kind === 'factorial')
      expect(starDistance(star, k, cube.length)).toBeCloseTo(distance, 6)
      // The star at the ends, the cube drawn inward by its distance.
      for (const run of cube)
        for (const coded of Object.values(run.coded))
          expect(Math.abs(coded as number)).toBeCloseTo(1 / distance, 6)
      for (const run of plan.runs.filter((one) => one.kind === 'star'))
        expect(
          Object.values(run.coded)
            .map((coded) => Math.abs(coded as number))
            .sort(),
        ).toEqual([...new Array(k - 1).fill(0), 1])
    }
  })

  // Totals with the tabulated centre points: NIST/SEMATECH e-Handbook, 5.3.3.6.3 (from memory, all F + 2k + c).
  test.each([
    [2, 5, 13],
    [3, 6, 20],
    [4, 6, 30],
    [5, 7, 33],
    [6, 10, 54],
  ])('of %i factors with %i centre points has %i runs', (k, centre, total) => {
    expect(planOf(factorsOf(k), { kind: 'composite', star: 'face', centre }).runs).toHaveLength(total)
  })

  test('on the faces is the face-centred design of the tables', () => {
    // D-efficiency of the full quadratic, recomputed in R 4.2.2.
    expect(planOf(factorsOf(2), { kind: 'composite', centre: 5 }).evaluation.dEfficiency).toBeCloseTo(
      38.891981,
      5,
    )
    expect(planOf(factorsOf(3), { kind: 'composite', centre: 6 }).evaluation.dEfficiency).toBeCloseTo(
      36.672901,
      5,
    )
  })

  test('rotatable and drawn inward still has the determinant of the tables', () => {
    // |X′X| 163840 for two factors, α √2, 5 centre points, in units of the cube; drawing in by √2 divides the
    // columns of two main effects by √2 each and those of three second-order terms by 2 each.
    const { dEfficiency } = planOf(factorsOf(2), {
      kind: 'composite',
      star: 'rotatable',
      centre: 5,
    }).evaluation
    const determinant = 163840 / Math.SQRT2 ** (2 * 2) / 2 ** (2 * 3)
    expect(dEfficiency).toBeCloseTo((100 * determinant ** (1 / 6)) / 13, 8)
  })

  test('needs a cube that its quadratic model can be told from, and says so where it is not', () => {
    // A resolution III cube mixes A with B.C; the star tells A, but not the interaction from the others.
    const plan = planOf(factorsOf(4), { kind: 'composite', fraction: 'C = A.B, D = A.B', centre: 2 })
    expect(plan.evaluation.dEfficiency).toBe(0)
    expect(plan.evaluation.aliases.length).toBeGreaterThan(0)
  })
})

describe('Box–Behnken', () => {
  // Runs without and with the tabulated centre points: Box & Behnken, Technometrics 2 (1960); NIST/SEMATECH
  // e-Handbook, 5.3.3.6.2–3 (from memory).
  test.each([
    [3, 12, 3, 15],
    [4, 24, 3, 27],
    [5, 40, 6, 46],
    [6, 48, 6, 54],
  ])('of %i factors has %i runs and with %i centre points %i', (k, edges, centre, total) => {
    const plan = planOf(factorsOf(k), { kind: 'box-behnken', centre })
    expect(plan.runs).toHaveLength(total)
    expect(plan.runs.filter((run) => run.kind === 'edge')).toHaveLength(edges)
    expect(plan.evaluation.dEfficiency).toBeGreaterThan(0)
  })

  test('of three factors is the published table', () => {
    const rows = planOf(factorsOf(3), { kind: 'box-behnken' }).runs.map((run) => Object.values(run.coded))
    const published = [
      ...[
        [-1, -1],
        [1, -1],
        [-1, 1],
        [1, 1],
      ].map(([a, b]) => [a, b, 0]),
      ...[
        [-1, -1],
        [1, -1],
        [-1, 1],
        [1, 1],
      ].map(([a, c]) => [a, 0, c]),
      ...[
        [-1, -1],
        [1, -1],
        [-1, 1],
        [1, 1],
      ].map(([b, c]) => [0, b, c]),
    ]
    expect(rows).toEqual(published)
  })

  test.each([
    [3, 36.642902],
    [4, 25.216341],
  ])('of %i factors with 3 centre points has the D-efficiency of the tables', (k, efficiency) => {
    expect(planOf(factorsOf(k), { kind: 'box-behnken', centre: 3 }).evaluation.dEfficiency).toBeCloseTo(
      efficiency,
      5,
    )
  })

  test.each([6, 7])('of %i factors is balanced: every factor in as many sets, every pair in some', (k) => {
    const plan = planOf(factorsOf(k), { kind: 'box-behnken', centre: 1 })
    const moved = factorsOf(k).map(({ name }) => plan.runs.filter((run) => run.coded[name] !== 0).length)
    expect(moved).toEqual(new Array(k).fill(24))
    for (const a of factorsOf(k))
      for (const b of factorsOf(k))
        expect(plan.runs.some((run) => run.coded[a.name] !== 0 && run.coded[b.name] !== 0)).toBe(true)
  })
})
