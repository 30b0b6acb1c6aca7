import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { type FilmReading, summarizeFilm } from '../../../shared/film/summarize.ts'

/**
 * A real map of 300 sites on a 125 mm wafer, resistivity survey of 16 Jan 1986, file EHRSTEIN.DAT of the US
 * National Institute of Standards and Technology (public domain), data of the NIST/SEMATECH e-Handbook. Ten
 * readings carry a minus sign as a flag, three are exactly zero. The file certifies nothing; expected values were
 * computed from it with numpy (mean, standard deviation, least squares).
 */
const file = readFileSync(new URL('../../data/ehrstein_wafer_map.csv', import.meta.url), 'utf8')
const readings: FilmReading[] = file
  .trim()
  .split(/\r?\n/)
  .slice(1)
  .map((line, i) => {
    const [x, y, value] = line.split(',').map(Number) as [number, number, number]
    return { row: i + 2, x, y, value }
  })
const summary = summarizeFilm({ id: 'wafer', readings, diameterMm: 125, edgeExclusionMm: 0 })

describe('the 300-site wafer map', () => {
  test('is read in full: 300 sites, the farthest 59.248177 mm from the centre', () => {
    expect(readings).toHaveLength(300)
    expect(Math.max(...readings.map(({ x, y }) => Math.hypot(x ?? 0, y ?? 0)))).toBeCloseTo(59.248177, 6)
  })

  test('the ten flagged readings and the three zeros are left out, each by its row', () => {
    const rows = (reason: string) =>
      summary.excluded.filter((entry) => entry.reason === reason).map((entry) => entry.row)
    expect(rows('The reading is negative.')).toEqual([12, 30, 50, 112, 115, 132, 146, 151, 152, 157])
    expect(rows('The reading is zero.')).toEqual([131, 171, 172])
    expect(summary.excluded).toHaveLength(13)
    for (const { row } of summary.excluded) expect(readings[row - 2]?.value).toBeLessThanOrEqual(0)
  })

  test('mean and spread of the 287 that are left', () => {
    expect(summary.n).toBe(287)
    expect(summary.mean).toBeCloseTo(14.173557595818817, 12)
    expect(summary.standardDeviation).toBeCloseTo(0.23043660126429935, 12)
  })

  test('the 290 positive-or-zero readings have the mean and spread that are usually quoted', () => {
    // Mean and spread of any readings; zeros would be left out, so all are shifted by one and back.
    const shifted = readings.filter(({ value }) => value >= 0).map((r) => ({ ...r, value: r.value + 1 }))
    const all = summarizeFilm({ id: 'wafer', readings: shifted, diameterMm: 125, edgeExclusionMm: 0 })
    expect(all.n).toBe(290)
    expect((all.mean as number) - 1).toBeCloseTo(14.0269345862, 10)
    expect(all.standardDeviation).toBeCloseTo(1.4547637884, 10)
  })

  test('shape terms as numpy.linalg.lstsq has them', () => {
    const { shape, standardUncertainty } = summary
    expect(shape.bowl).toBeCloseTo(0.01974611, 8)
    expect(shape.ring).toBeCloseTo(0.01443506, 8)
    expect(shape.wedgeX).toBeCloseTo(0.00906837, 8)
    expect(shape.wedgeY).toBeCloseTo(-0.00346858, 8)
    expect(shape.rest).toBeCloseTo(0.011937775532638707, 12)
    expect(standardUncertainty).toBeCloseTo(0.01001482818103167, 12)
  })

  test('the area mean agrees with integrating along 20 000 chords, nearest site by nearest site', () => {
    // Chord integration in numpy: 14.19187578, with its own error of some 1e-5.
    expect(Math.abs((summary.areaWeightedMean as number) - 14.19187578)).toBeLessThan(2e-5)
  })
})
