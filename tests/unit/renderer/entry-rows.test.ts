import { describe, expect, test } from 'vitest'
import { entryRows, liveFilm } from '../../../renderer/screens/bench/entry-rows.ts'
import type { Reading, Study } from '../../../shared/contract/things.ts'
import { readSites } from '../../../shared/film/read-sites.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

const sites = siteMap({ name: '5', diameterMm: 100, edgeExclusionMm: 6 })
const study = { diameterMm: 100, edgeExclusionMm: 6, targetAfter: 'bake', readAfter: 'bake' } as Study

function reading(site: number | null, valueNm: number, more: Partial<Reading> = {}): Reading {
  return {
    id: `reading ${site}`,
    runId: 'run',
    quantity: 'thickness',
    site,
    xMm: null,
    yMm: null,
    repeat: 1,
    takenAfter: null,
    opticalIndex: null,
    value: valueNm,
    text: String(valueNm),
    unit: 'nm',
    at: '2026-03-02T09:00:00Z',
    supersedes: null,
    excluded: null,
    ...more,
  }
}

const rowsOf = (readings: Reading[], drafts: Record<number, string> = {}, unit: 'nm' | 'Å' | 'µm' = 'nm') =>
  entryRows({ sites, readings, study, repeats: 1, drafts: ({ site }) => drafts[site ?? 0], unit })

describe('the lines of the entry', () => {
  test('every site has a line, with its reading as it was typed', () => {
    const rows = rowsOf([reading(2, 1504.2, { text: '1504,2' })])
    expect(rows.map((row) => row.site)).toEqual([1, 2, 3, 4, 5])
    expect(rows[1]).toMatchObject({ text: '1504,2', valueNm: 1504.2, changes: false, problem: null })
    expect(rows[0]).toMatchObject({ text: '', valueNm: null })
  })

  test('in another unit the same reading shows converted, and is no change', () => {
    const row = rowsOf([reading(1, 1530.6)], {}, 'Å')[0]!
    expect(row.text).toBe('15306')
    expect(rowsOf([reading(1, 1530.6)], { 1: '15306' }, 'Å')[0]!.changes).toBe(false)
  })

  test('a draft that can be read counts at once; its unit may stand behind it', () => {
    const row = rowsOf([], { 3: '1,5068 µm' })[2]!
    expect(row.valueNm).toBeCloseTo(1506.8, 9)
    expect(row.changes).toBe(true)
  })

  test('a draft that is no number stays as text with the reason, and the old reading still counts', () => {
    const row = rowsOf([reading(1, 1500)], { 1: '12..5' })[0]!
    expect(row).toMatchObject({ text: '12..5', valueNm: 1500 })
    expect(row.problem).toContain('‘12..5’ is no number')
  })

  test('emptying a field does not delete its reading', () => {
    const row = rowsOf([reading(1, 1500)], { 1: ' ' })[0]!
    expect(row.changes).toBe(false)
    expect(row.problem).toContain('not deleted')
  })

  test('readings known by position alone are lines of their own, without the empty sites of the map', () => {
    const rows = rowsOf([reading(null, 990, { xMm: 3, yMm: -4 })])
    expect(rows).toHaveLength(1)
    expect(rows[0]).toMatchObject({ site: null, xMm: 3, yMm: -4, valueNm: 990 })
  })

  test('readings of another quantity are no thickness', () => {
    expect(rowsOf([reading(1, 410, { quantity: 'stress' })])[0]!.reading).toBeNull()
  })
})

describe('the live film', () => {
  test('has the mean and half range of what is typed and read', () => {
    const film = liveFilm(rowsOf([reading(1, 1500), reading(2, 1510)], { 3: '1520' }), study, [])
    expect(film.n).toBe(3)
    expect(film.mean).toBe(1510)
    expect(film.nonUniformity.halfRangeOverMean).toBeCloseTo((100 * 20) / (2 * 1510), 12)
  })

  test('leaves out an excluded reading until a new number is typed on its site', () => {
    const out = reading(1, 900, { excluded: 'comet' })
    expect(liveFilm(rowsOf([out, reading(2, 1500)]), study, []).n).toBe(1)
    expect(liveFilm(rowsOf([out, reading(2, 1500)], { 1: '1502' }), study, []).mean).toBe(1501)
  })

  test('takes the mean of the repeats at a site, and only readings of the stage that is being read', () => {
    const readings = [
      reading(1, 1500),
      reading(1, 1504, { id: 'again', repeat: 2 }),
      reading(2, 1900, { takenAfter: 'spin' }),
    ]
    const rows = entryRows({
      ...{ sites, readings, study, repeats: 3, unit: 'nm' },
      drafts: ({ site, repeat }) => (site === 2 && repeat === 3 ? '1510' : undefined),
    })
    expect(rows).toHaveLength(15)
    expect(rows.slice(0, 3).map(({ site, repeat, valueNm }) => [site, repeat, valueNm])).toEqual([
      [1, 1, 1500],
      [1, 2, 1504],
      [1, 3, null],
    ])
    const film = liveFilm(rows, study, readings)
    expect(film).toMatchObject({ n: 2, mean: 1506, otherStages: [{ takenAfter: 'spin', count: 1 }] })
    expect(readSites(rows).map(({ valueNm, unsaved }) => [valueNm, unsaved])).toEqual([
      [1502, false],
      [1510, true],
      [null, false],
      [null, false],
      [null, false],
    ])
  })

  test('a site of which one repeat is left out has the value of the others', () => {
    const readings = [reading(1, 900, { excluded: 'comet' }), reading(1, 1504, { repeat: 2 })]
    const rows = entryRows({ sites, readings, study, repeats: 2, unit: 'nm', drafts: () => undefined })
    expect(readSites(rows)[0]).toMatchObject({ valueNm: 1504, excluded: null })
    expect(liveFilm(rows, study, readings).mean).toBe(1504)
    expect(readSites(rows.slice(0, 1))[0]).toMatchObject({ valueNm: 900, excluded: 'comet' })
  })
})
