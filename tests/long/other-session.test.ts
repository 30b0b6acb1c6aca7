import { expect, test } from 'vitest'
import { fitMixed } from '../../shared/model/mixed.ts'
import { seeded } from '../../shared/random.ts'
import { tableOf } from '../unit/model/some-runs.ts'

const count = 4000

/** Coverage of another session's interval: so many days, visits a day, runs a visit, and true deviations of each. */
function missed([days, visits, runs]: [number, number, number], [day, visit]: [number, number]): number {
  let misses = 0
  for (let seed = 1; seed <= count; seed++) {
    const random = seeded(seed)
    const rows = Array.from({ length: days }, (_, d) => {
      const ofDay = day * random.normal()
      return Array.from({ length: visits }, (_, v) => {
        const ofVisit = visit * random.normal()
        return Array.from({ length: runs }, (_, r) => ({
          session: `day ${d}`,
          visit: `visit ${v}`,
          speed: r % 3,
          y: 100 - 3 * (r % 3) + ofDay + ofVisit + random.normal(),
        }))
      }).flat()
    }).flat()
    const table = tableOf({
      session: rows.map((row) => row.session),
      visit: rows.map((row) => row.visit),
      speed: rows.map((row) => row.speed),
      y: rows.map((row) => row.y),
    })
    const fit = fitMixed({ table, model: 'y ~ speed', random: 'session/visit' })
    if (!fit.ok) throw new Error(fit.problems[0]?.message)
    const other = fit.value.predict([{ speed: 1 }]).find(({ scope }) => scope === 'otherSession')
    const next = 97 + day * random.normal() + visit * random.normal() + random.normal()
    if (!other || next < other.prediction[0] || next > other.prediction[1]) misses++
  }
  return misses / count
}

// Satterthwaite's degrees of freedom are an approximation: of 5 % claimed, within 1 % beyond the binomial error.
const allowed = 0.01 + 4 * Math.sqrt((0.05 * 0.95) / count)

test.each([
  { size: [12, 2, 3], deviations: [1, 0.5] },
  { size: [6, 3, 4], deviations: [2, 1] },
  { size: [6, 3, 4], deviations: [0.5, 1] },
] as { size: [number, number, number]; deviations: [number, number] }[])(
  'another session is covered as claimed: $size days, visits, runs, deviations $deviations',
  ({ size, deviations }) => {
    expect(Math.abs(missed(size, deviations) - 0.05)).toBeLessThan(allowed)
  },
  300_000,
)
