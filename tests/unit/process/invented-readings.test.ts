import { describe, expect, test } from 'vitest'
import { siteMap } from '../../../shared/film/site-map.ts'
import { type SimulatedRun, simulateReadings } from '../../../shared/process/invented-readings.ts'
import { seeded } from '../../../shared/random.ts'

const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 })
const usual: SimulatedRun = {
  session: 'one',
  plateVisit: 1,
  speed: 3250,
  ramp: 1000,
  segmentTime: 40,
  bakeDisplay: 101.5,
  bakeTime: 60,
  lot: 'A',
  openings: 0,
  waferSinceClean: 1000,
  lidOpen: false,
}
const simulate = (runs: SimulatedRun[], seed: number) =>
  simulateReadings({ runs, sites, outline: { diameterMm: 100 }, random: seeded(seed) })

const meanOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
const spread = (values: readonly number[]) => {
  const mean = meanOf(values)
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1))
}
const logMean = (readings: { valueNm: number }[]) => Math.log(meanOf(readings.map((one) => one.valueNm)))

/** Whether a standard deviation out of n values lies within 4.5 of its own standard errors of the true one. */
const expectSpread = (found: number, sigma: number, n: number) =>
  expect(Math.abs(found / sigma - 1)).toBeLessThan(4.5 / Math.sqrt(2 * (n - 1)))

describe('simulated readings', () => {
  test('the same seed gives the same readings, to 0.1 nm, one a site', () => {
    const once = simulate([usual, usual], 3)
    expect(simulate([usual, usual], 3)).toEqual(once)
    expect(simulate([usual, usual], 4)).not.toEqual(once)
    expect(once.map((readings) => readings.length)).toEqual([9, 9])
    for (const { valueNm } of once.flat()) expect(Math.round(valueNm * 10) / 10).toBe(valueNm)
  })

  test('sessions differ by 0.5 %, beside what their wafers and plate visits do', () => {
    const runs = Array.from({ length: 500 }, (_, i) => ({ ...usual, session: `day ${i}` }))
    // Slopes of the film at the working point: 0.29 % a °C of plate, 0.05 % a second of bake, 0.35 % a °C of
    // room, 0.06 % a per cent of humidity; wafer 0.35 %, reload 1 nm, nine sites of 0.12 % and 1 nm.
    const rest = [0.29 * 0.6, 0.05, 0.35 * 0.3, 0.06 * 0.5, 0.35, 0.067, 0.05, 0.03]
    const sigma = Math.hypot(0.5, ...rest) / 100
    expectSpread(spread(simulate(runs, 11).map(logMean)), sigma, 500)
  })

  test('plate visits differ by 0.6 °C: 0.17 % of the film', () => {
    const visits = 400
    const runs = Array.from({ length: 8 * visits }, (_, i) => ({ ...usual, plateVisit: Math.floor(i / 8) }))
    const found = simulate(runs, 12).map(logMean)
    const within = Array.from({ length: visits }, (_, v) => found.slice(8 * v, 8 * v + 8))
    const between = spread(within.map(meanOf)) ** 2
    const wafer = meanOf(within.map((group) => spread(group) ** 2))
    // Humidity rises slowly through the session and adds 0.05 % between visits.
    const plate = Math.sqrt(between - wafer / 8)
    expect(plate).toBeGreaterThan(0.0014)
    expect(plate).toBeLessThan(0.0023)
    expectSpread(Math.sqrt(wafer), Math.hypot(0.35, 0.05, 0.105, 0.03, 0.067, 0.05, 0.03) / 100, 7 * visits)
  })

  test('readings at one place of many wafers scatter by site and gauge beside the wafer', () => {
    const twins = simulateReadings({
      runs: Array.from({ length: 1500 }, () => usual),
      // The same place twice: what differs is the local film (0.12 %) and the repeat of the gauge (1 nm).
      sites: [
        { site: 1, xMm: 0, yMm: 0 },
        { site: 2, xMm: 0, yMm: 0 },
      ],
      outline: { diameterMm: 100 },
      random: seeded(13),
    })
    const differences = twins.map(([a, b]) => (a?.valueNm ?? 0) - (b?.valueNm ?? 0))
    expectSpread(spread(differences), Math.SQRT2 * Math.hypot(0.0012 * 1500, 1), 1500)
  })

  test('a lot and an open lid come through the noise with their factors', () => {
    const trios = Array.from({ length: 200 }, () => [
      usual,
      { ...usual, lot: 'B' },
      { ...usual, lidOpen: true },
    ])
    const found = simulate(trios.flat(), 14).map(logMean)
    const ratio = (place: number) =>
      Math.exp(meanOf(trios.map((_, i) => (found[3 * i + place] ?? 0) - (found[3 * i] ?? 0))))
    // Wafers of 0.38 % in pairs: standard error 0.04 %.
    expect(Math.abs(ratio(1) - 1.018)).toBeLessThan(0.0015)
    expect(Math.abs(ratio(2) - 1.015)).toBeLessThan(0.0015)
  })
})
