import { normalCdf } from '../../../shared/model/distributions.ts'
import { fitOverDays } from '../../../shared/model/over-days.ts'
import { errorsOf, predictorOf } from '../../../shared/next/predictor.ts'
import { releaseInterval } from '../../../shared/next/release.ts'
import { seeded } from '../../../shared/random.ts'

const speeds = [2500, 3000, 3600, 4300]

/**
 * In how many of so many confirmations the interval for release really holds 95 % of all wafers. Each begins with a study
 * at four speeds in so many sessions, fitted as the program fits it; true standard deviations are shares of the thickness.
 *
 * @param of.sizes wafers of the confirmation by day
 * @param of.sessions of the study; with 1 it knows nothing of days
 */
export function heldIn(
  confirmations: number,
  of: { sessions: number; sizes: readonly number[]; day: number; run: number },
): number {
  const { sessions, sizes, day, run } = of
  const truth = (speed: number) => 11.3 - 0.5 * Math.log(speed)
  let held = 0
  for (let seed = 1; seed <= confirmations; seed++) {
    const random = seeded(seed)
    const rows = Array.from({ length: sessions }, (_, s) => {
      const ofDay = day * random.normal()
      return [...speeds, ...(sessions === 1 ? speeds : [])].map((speed) => ({
        session: `day ${s}`,
        speed,
        thickness: Math.exp(truth(speed) + ofDay + run * random.normal()),
      }))
    }).flat()
    const table = {
      rows: rows.length,
      columns: (['session', 'speed', 'thickness'] as const).map((name) => ({
        name,
        values: rows.map((row) => row[name]),
      })),
    }
    // One session is held apart by itself, so that nothing of days is taken from elsewhere.
    const model = `log(thickness) ~ log(speed)${sessions === 1 ? ' + session' : ''}`
    const fitted = fitOverDays({ table, model, thickness: true })
    if (!fitted.ok) throw new Error(fitted.problems[0]?.message)
    const predictor = predictorOf(fitted.value)
    if (!predictor.ok) throw new Error(predictor.problems[0]?.message)
    const outlook = predictor.value.at({ speed: 3280, session: 'day 0' })!
    const days = sizes.map((wafers) => {
      const ofDay = day * random.normal()
      return Array.from({ length: wafers }, () => truth(3280) + ofDay + run * random.normal())
    })
    const { lower, upper } = releaseInterval({
      days,
      errors: errorsOf(predictor.value, outlook),
      scope: predictor.value.scope,
      share: 0.95,
      confidence: 0.95,
    })!
    const below = (value: number) => normalCdf((value - truth(3280)) / Math.hypot(day, run))
    if (below(upper) - below(lower) >= 0.95) held++
  }
  return held
}
