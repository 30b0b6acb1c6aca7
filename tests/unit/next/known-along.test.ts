import { expect, test } from 'vitest'
import { fitModel } from '../../../shared/model/fit.ts'
import { recommend } from '../../../shared/next/recommend.ts'
import { seeded } from '../../../shared/random.ts'
import { continuous } from '../../engine/studies-for-tests.ts'

const region = [
  continuous('speed', 'speed', 'rpm', [1500, 5000], 3),
  continuous('time', 'other', 's', [20, 60], 3),
]
const model = 'log(thickness) ~ log(speed) + time'
const random = seeded(3)
const rows = Array.from({ length: 12 }, () => {
  const [speed, time] = [Math.round(1500 + 3500 * random.uniform()), Math.round(20 + 40 * random.uniform())]
  return { speed, time, thickness: 90_000 * speed ** -0.5 * Math.exp(0.006 * random.normal()) }
})
function fitted(data: typeof rows) {
  const names = ['speed', 'time', 'thickness'] as const
  const columns = names.map((name) => ({ name, values: data.map((row) => row[name]) }))
  const fit = fitModel({ table: { columns, rows: data.length }, model })
  if (!fit.ok) throw new Error(fit.problems[0]?.message)
  return fit.value
}

test('what a run would teach along the speed is what the fit with it knows', () => {
  const fit = fitted(rows)
  const answer = recommend({
    ...{ model: fit, region, target: 1650, tolerance: 30 },
    tested: rows.map(({ speed, time }) => ({ speed, time })),
    costOf: () => ({ minutes: 10, resistMl: 3, plateChange: false }),
  })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  const { choices, known } = answer.value
  expect(known).toMatchObject({ factor: 'speed', at: choices[0]!.settings })
  expect(known!.points.length).toBeGreaterThan(30)
  for (const [k, { settings }] of choices.entries()) {
    const { speed, time } = settings as { speed: number; time: number }
    // Any thickness will do: only the scatter is another then, and that is taken out.
    const more = fitted([...rows, { speed, time, thickness: 1650 }])
    const same = fit.residualStandardDeviation! / more.residualStandardDeviation!
    for (const { x, now, after } of known!.points.filter((_, i) => i % 8 === 0)) {
      const [before] = fit.predict([{ ...known!.at, speed: x }])
      const [then] = more.predict([{ ...known!.at, speed: x }])
      expect(now).toBeCloseTo(before!.standardErrorOfMean, 8)
      expect(after[k]).toBeCloseTo((then!.standardErrorOfMean / then!.estimate) * before!.estimate * same, 8)
      expect(after[k]).toBeLessThan(now)
    }
  }
})
