import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { tQuantile } from '../../../shared/model/distributions.ts'
import { type FittedMixed, fitMixed, type MixedOptions } from '../../../shared/model/mixed.ts'
import type { Table } from '../../../shared/model/table.ts'
import { seeded } from '../../../shared/random.ts'
import { closeTo } from '../../published/model/close-to.ts'
import { tableOf } from './some-runs.ts'

function mixed(table: Table, options: Partial<MixedOptions> = {}): FittedMixed {
  const answer = fitMixed({ table, model: 'y ~ 1', random: 'session', ...options })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

const codes = ({ problems }: FittedMixed) => problems.map(({ code }) => code)

/** Sessions of as many runs each, about 100. */
function sessions(options: {
  seed: number
  sessions: number
  runs: number
  between: number
  within?: number
}): Table {
  const { seed, sessions: count, runs, between, within = 1 } = options
  const random = seeded(seed)
  const rows = Array.from({ length: count }, (_, s) => {
    const shift = between * random.normal()
    return Array.from({ length: runs }, () => ({
      session: `day ${s}`,
      y: 100 + shift + within * random.normal(),
    }))
  }).flat()
  return tableOf({ session: rows.map(({ session }) => session), y: rows.map(({ y }) => y) })
}

const variances = (fit: FittedMixed) => fit.strata.map(({ variance }) => variance) as [number, number]

describe('a variance stated with degrees of freedom', () => {
  const [a, n] = [5, 4]
  const table = sessions({ seed: 4, sessions: a, runs: n, between: 3 })

  test('equal to what the runs say changes no variance, only what is known of it', () => {
    const own = mixed(table)
    const [between, within] = variances(own)
    for (const df of [0.5, 8, 500]) {
      const fit = mixed(table, { stated: { session: { variance: between, df } } })
      closeTo(variances(fit)[0], between, 1e-9)
      closeTo(variances(fit)[1], within, 1e-9)
      // Information of the two variances in one-way groups (Searle, Casella & McCulloch, Variance Components, 1992,
      // section 3.8, from memory), written out, plus ν/(2·τ²); degrees of freedom of the mean, whose variance is λ/an.
      const lambda = within + n * between
      const both = ((a - 1) * n) / (2 * lambda ** 2)
      const ofBetween = n * both + df / (2 * between ** 2)
      const ofWithin = both / n + (a * (n - 1)) / (2 * within ** 2)
      const determinant = ofBetween * ofWithin - both ** 2
      const spread = (n * n * ofWithin - 2 * n * both + ofBetween) / determinant
      closeTo(fit.report().terms[0]?.df, (2 * lambda ** 2) / spread, 1e-8)
    }
    closeTo(own.report().terms[0]?.df, a - 1, 1e-9)
  })

  test('is pooled with that of the runs by degrees of freedom where these know it alone', () => {
    // Readings so close within sessions that the means of sessions scatter by their own variance only.
    const close = sessions({ seed: 4, sessions: a, runs: n, between: 3, within: 1e-4 })
    const [between] = variances(mixed(close))
    const fit = mixed(close, { stated: { session: { variance: 2, df: 10 } } })
    closeTo(variances(fit)[0], ((a - 1) * between + 10 * 2) / (a - 1 + 10), 1e-7)
    closeTo(fit.report().terms[0]?.df, a - 1 + 10, 1e-6)
  })

  test('with ever more of them comes to be taken as it is', () => {
    const held = mixed(table, { stated: { session: { variance: 2 } } })
    const nearly = mixed(table, { stated: { session: { variance: 2, df: 1e7 } } })
    closeTo(variances(held)[0], 2)
    closeTo(variances(nearly)[0], 2, 1e-5)
    closeTo(variances(nearly)[1], variances(held)[1], 1e-5)
    closeTo(nearly.report().terms[0]?.standardError, held.report().terms[0]?.standardError as number, 1e-5)
  })

  test('does not depend on the unit of the response, nor on a constant added to it', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.constantFrom(1e-3, 7, 1e4),
        fc.constantFrom(0, -50, 3000),
        (seed, factor, shift) => {
          const own = sessions({ seed, sessions: 4, runs: 3, between: 1 })
          const moved = {
            ...own,
            columns: own.columns.map((column) =>
              column.name === 'y'
                ? { ...column, values: column.values.map((y) => factor * ((y as number) + shift)) }
                : column,
            ),
          }
          const first = mixed(own, { stated: { session: { variance: 0.5, df: 3 } } })
          const second = mixed(moved, { stated: { session: { variance: 0.5 * factor ** 2, df: 3 } } })
          for (const g of [0, 1] as const)
            closeTo(variances(second)[g], variances(first)[g] * factor ** 2, 1e-6)
          closeTo(second.report().terms[0]?.df, first.report().terms[0]?.df as number, 1e-6)
        },
      ),
      { numRuns: 30 },
    )
  })

  test('lies between what is stated and what the runs say', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        (seed, variance) => {
          const own = sessions({ seed, sessions: 6, runs: 3, between: 1 })
          const [alone] = variances(mixed(own))
          const [both] = variances(mixed(own, { stated: { session: { variance, df: 5 } } }))
          expect(both).toBeGreaterThanOrEqual(Math.min(alone, variance) * (1 - 1e-7))
          expect(both).toBeLessThanOrEqual(Math.max(alone, variance) * (1 + 1e-7))
        },
      ),
      { numRuns: 40 },
    )
  })
})

describe('what a stated variance does is shown', () => {
  const table = sessions({ seed: 9, sessions: 3, runs: 5, between: 2 })
  const stated = { session: { variance: 1, df: 12 } }

  test('for every term and every prediction', () => {
    const [own, fit] = [mixed(table).report([{}]), mixed(table, { stated }).report([{}])]
    const width = ([lower, upper]: readonly [number, number]) => (upper - lower) / 2
    const [effect] = fit.statedEffect ?? []
    expect(fit.statedEffect).toHaveLength(1)
    closeTo(effect?.halfWidth, width([fit.terms[0]?.lower ?? 0, fit.terms[0]?.upper ?? 0]))
    closeTo(effect?.halfWidthWithout, width([own.terms[0]?.lower ?? 0, own.terms[0]?.upper ?? 0]))
    expect(fit.predictions.map(({ without }) => without)).toEqual(
      own.predictions.map(({ confidence, prediction }) => ({ confidence, prediction })),
    )
    expect(fit.predictions[1]?.varianceSource).toBe('stated')
    expect(fit.varianceComponents[0]).toMatchObject({
      source: 'stated',
      df: 2,
      stated: { standardDeviation: 1, df: 12 },
    })
    expect(own.statedEffect).toBeUndefined()
    expect(own.predictions[0]).not.toHaveProperty('without')
  })

  test('where the runs alone give none, as none', () => {
    const one = sessions({ seed: 9, sessions: 1, runs: 5, between: 2 })
    expect(fitMixed({ table: one, model: 'y ~ 1', random: 'session' })).toMatchObject({
      ok: false,
      problems: [{ code: 'noStratumDf' }],
    })
    const report = mixed(one, { stated }).report([{}])
    expect(report.statedEffect?.[0]?.halfWidthWithout).toBeNull()
    expect(report.predictions[1]?.without).toBeNull()
  })
})

describe('variances of earlier studies', () => {
  const earlier = { session: { variance: 1, df: 12 } }

  test('are used where fewer than 3 degrees of freedom are left, and it is said', () => {
    const fit = mixed(sessions({ seed: 2, sessions: 3, runs: 5, between: 2 }), { earlier })
    expect(fit.strata[0]?.source).toBe('earlierStudies')
    expect(codes(fit)).toContain('earlierVariance')
    expect(fit.report([{}]).predictions.map(({ varianceSource }) => varianceSource)).toEqual([
      'earlierStudies',
      'earlierStudies',
    ])
  })

  test('are left alone where the runs know better', () => {
    const table = sessions({ seed: 2, sessions: 8, runs: 5, between: 2 })
    const fit = mixed(table, { earlier })
    expect(variances(fit)).toEqual(variances(mixed(table)))
    expect(fit.strata[0]?.source).toBe('estimated')
    expect(codes(fit)).not.toContain('earlierVariance')
  })

  test('are used where the estimate is 0', () => {
    const seeds = Array.from({ length: 40 }, (_, seed) => seed + 1)
    const flat = seeds
      .map((seed) => sessions({ seed, sessions: 6, runs: 4, between: 0 }))
      .find((table) => variances(mixed(table))[0] === 0) as Table
    const fit = mixed(flat, { earlier })
    expect(fit.strata[0]?.source).toBe('earlierStudies')
    expect(variances(fit)[0]).toBeGreaterThan(0)
    expect(variances(fit)[0]).toBeLessThan(1)
    expect(codes(mixed(flat))).toContain('zeroVariance')
  })

  test('come after what a person states', () => {
    const fit = mixed(sessions({ seed: 2, sessions: 3, runs: 5, between: 2 }), {
      earlier,
      stated: { session: { variance: 4 } },
    })
    expect(fit.strata[0]).toMatchObject({ source: 'stated', variance: 4 })
  })

  test('are offered', () => {
    const { problems } = mixed(sessions({ seed: 2, sessions: 3, runs: 5, between: 2 }))
    expect(problems.find(({ code }) => code === 'fewStratumDf')?.message).toContain(
      'State its standard deviation from earlier studies',
    )
  })
})

test.each([
  ['a group that is not there', { tray: { variance: 1 } }, 'unknownGroup'],
  ['a negative variance', { session: { variance: -1 } }, 'notANumber'],
  ['no degrees of freedom', { session: { variance: 1, df: 0 } }, 'notANumber'],
  ['a variance of 0 from some', { session: { variance: 0, df: 4 } }, 'notANumber'],
])('%s is refused', (_, stated, code) => {
  const table = sessions({ seed: 2, sessions: 4, runs: 3, between: 1 })
  for (const known of [{ stated }, { earlier: stated }]) {
    const answer = fitMixed({ table, model: 'y ~ 1', random: 'session', ...known })
    expect(answer.ok ? [] : answer.problems.map((problem) => problem.code)).toEqual([code])
  }
})

describe('another session', () => {
  /** Sessions of visits of runs; balanced, so that mean squares say everything. */
  function nested(seed: number, [a, b, n]: [number, number, number], [s, v]: [number, number] = [2, 1.5]) {
    const random = seeded(seed)
    const shifts: number[] = []
    const rows = Array.from({ length: a }, (_, i) => {
      const session = s * random.normal()
      shifts.push(session)
      return Array.from({ length: b }, (_, j) => {
        const visit = v * random.normal()
        return Array.from({ length: n }, () => ({
          session: `day ${i}`,
          visit: `visit ${j}`,
          y: 100 + session + visit + random.normal(),
        }))
      }).flat()
    }).flat()
    return {
      rows,
      shifts,
      table: tableOf({
        session: rows.map(({ session }) => session),
        visit: rows.map(({ visit }) => visit),
        y: rows.map(({ y }) => y),
      }),
    }
  }

  test('counts the day twice: once for the new one, once for those inside the fit', () => {
    const size: [number, number, number] = [6, 3, 4]
    const [a, b, n] = size
    const { rows, table } = nested(21, size)
    const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
    const groupMeans = (key: (row: (typeof rows)[number]) => string) =>
      rows.map((row) => mean(rows.filter((other) => key(other) === key(row)).map(({ y }) => y)))
    const ofSession = groupMeans(({ session }) => session)
    const ofVisit = groupMeans(({ session, visit }) => session + visit)
    const grand = mean(rows.map(({ y }) => y))
    const squares = (of: (i: number) => number) => rows.reduce((sum, _, i) => sum + of(i) ** 2, 0)
    const df = [a - 1, a * (b - 1), a * b * (n - 1)]
    const [session, visit, run] = [
      squares((i) => ofSession[i]! - grand) / df[0]!,
      squares((i) => ofVisit[i]! - ofSession[i]!) / df[1]!,
      squares((i) => rows[i]!.y - ofVisit[i]!) / df[2]!,
    ]
    const fit = mixed(table, { random: 'session/visit' })
    const [ofDay, ofStay, rest] = fit.strata.map(({ variance }) => variance) as [number, number, number]
    closeTo(ofDay, (session - visit) / (b * n), 1e-9)
    closeTo(ofStay, (visit - run) / n, 1e-9)
    closeTo(rest, run, 1e-9)
    const [same, other] = fit.report([{}]).predictions
    closeTo((other?.standardErrorOfMean ?? 0) ** 2, session / (a * b * n), 1e-9)
    // The last day: its own mean shrunk by s towards the mean of all, and of its effect the part that is not known.
    const s = (ofDay * b * n) / session
    const last = (1 - s) * ofDay + ((1 - s) ** 2 * session) / (a * b * n)
    closeTo((same?.standardErrorOfMean ?? 0) ** 2, last, 1e-6)
    closeTo(same?.estimate, grand + s * (ofSession[rows.length - 1]! - grand), 1e-9)
    // The inside (day/6 + …) and the new day, visit and run, by mean squares, each with its degrees of freedom.
    const shares = [1 / (a * b * n) + 1 / (b * n), 1 / n - 1 / (b * n), 1 - 1 / n]
    const parts = [session, visit, run].map((square, k) => square * shares[k]!)
    const total = parts.reduce((sum, part) => sum + part, 0)
    closeTo(total, ofDay / a + ofStay / (a * b) + rest / (a * b * n) + ofDay + ofStay + rest, 1e-9)
    const own = total ** 2 / parts.reduce((sum, part, k) => sum + part ** 2 / df[k]!, 0)
    const [lower, upper] = other?.prediction ?? [0, 0]
    closeTo((upper - lower) / 2, tQuantile(0.975, own) * Math.sqrt(total), 1e-8)
  })

  test('is covered at the rate that the interval claims, and the present session at its own', () => {
    // 95 % of 300: 15 misses expected, standard deviation 3.8.
    const missed = { sameSession: 0, otherSession: 0 }
    for (let seed = 1; seed <= 300; seed++) {
      const { shifts, table } = nested(seed, [7, 2, 3], [1, 0])
      const random = seeded(seed + 1e6)
      const centre = {
        sameSession: shifts[6]!,
        otherSession: random.normal(),
      }
      for (const { scope, prediction } of mixed(table).predict([{}])) {
        const next = 100 + centre[scope] + random.normal()
        if (next < prediction[0] || next > prediction[1]) missed[scope]++
      }
    }
    for (const count of Object.values(missed)) {
      expect(count).toBeGreaterThan(15 - 3.4 * 3.8)
      expect(count).toBeLessThan(15 + 3.4 * 3.8)
    }
  })
})

test('a component of 0 leaves the solution at the boundary: least squares without the groups', () => {
  const table = tableOf({
    session: ['a', 'a', 'b', 'b', 'c', 'c', 'd', 'd', 'e', 'e'],
    bake: [90, 90, 100, 100, 110, 110, 100, 100, 90, 90],
    y: [9, 11, 9.5, 10.5, 8.8, 11.2, 9.1, 10.9, 9.3, 10.7],
  })
  const fit = mixed(table, { model: 'y ~ bake' })
  expect(variances(fit)[0]).toBe(0)
  const { terms } = fit.report()
  // Symmetric data, so that the mean is 10 and the slope 0; the sum of squares about them, on 10 − 2.
  const squares = [1, 0.5, 1.2, 0.9, 0.7].reduce((sum, away) => sum + 2 * away ** 2, 0)
  closeTo(variances(fit)[1], squares / 8, 1e-9)
  expect(Math.abs(terms[1]?.estimate ?? 1)).toBeLessThan(1e-12)
  closeTo(terms[1]?.standardError, Math.sqrt(squares / 8 / 560), 1e-9)
})
