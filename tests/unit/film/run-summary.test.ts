import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import type { Reading } from '../../../shared/contract/things.ts'
import {
  meanOf,
  type SummarizedStudy,
  summarizeRun,
  summaryEdition,
  summaryQuestion,
  unitsOf,
} from '../../../shared/film/run-summary.ts'

const study: SummarizedStudy = {
  targetAfter: 'bake',
  gauge: null,
  substrateShape: 'flat',
  diameterMm: 100,
  widthMm: null,
  heightMm: null,
  edgeExclusionMm: 5,
  siteMap: '9',
  lineDirection: 0,
  ownSites: null,
}
const reading = (site: number | null, value: number, more: Partial<Reading> = {}): Reading => ({
  id: `${site}`,
  runId: 'run',
  quantity: 'thickness',
  site,
  xMm: site === null ? null : 4 * site,
  yMm: site === null ? null : 30 - 5 * site,
  repeat: 1,
  takenAfter: null,
  opticalIndex: null,
  value,
  text: `${value}`,
  unit: 'nm',
  at: '',
  supersedes: null,
  excluded: null,
  ...more,
})
/** Invented: repeats, an exclusion, another stage, two indices, other quantities. */
const readings = [
  ...[1, 2, 3, 4, 5, 6, 7].map((site) => reading(site, 1500 + 3 * site ** 1.5, { opticalIndex: 1.6 })),
  reading(1, 1505, { repeat: 2, opticalIndex: 1.61 }),
  reading(8, 900, { excluded: 'a scratch' }),
  reading(2, 1700, { takenAfter: 'spin' }),
  reading(null, 12, { quantity: 'sheet', unit: 'ohm' }),
  reading(null, 14, { quantity: 'sheet', unit: 'ohm' }),
  reading(null, 3, { quantity: 'stress', unit: 'MPa', excluded: 'no' }),
]

test('the readings of a run are counted and averaged by what they are of', () => {
  const summary = summarizeRun(study, { code: 'W01' }, readings)
  expect(summary).toMatchObject({ readings: 13, leftOut: 2, sitesRead: 8, film: { id: 'W01', n: 7 } })
  expect(summary.otherStages).toEqual([{ takenAfter: 'spin', count: 1 }])
  expect(summary.opticalIndices).toEqual([
    [1.6, 7],
    [1.61, 1],
  ])
  expect(meanOf(summary, 'sheet')).toBe(13)
  expect(meanOf(summary, 'stress')).toBeNull()
  expect([...unitsOf([summary])]).toEqual([
    ['sheet', 'ohm'],
    ['stress', 'MPa'],
  ])
})

test('whatever of a study a summary depends on is in its question', () => {
  const changes: Partial<SummarizedStudy>[] = [
    { targetAfter: 'spin' },
    { edgeExclusionMm: 30 },
    { diameterMm: 150 },
    { substrateShape: 'rectangle', widthMm: 80, heightMm: 80 },
    { siteMap: '5' },
    { gauge: { ...gauge, repeatability: 2 } },
    { gauge: { ...gauge, reload: 1 } },
    { gauge: { ...gauge, calibration: 0.01 } },
  ]
  for (const change of changes) {
    const other = { ...study, ...change }
    expect(summarizeRun(other, { code: '' }, readings), JSON.stringify(change)).not.toEqual(
      summarizeRun(study, { code: '' }, readings),
    )
    expect(summaryQuestion(other)).not.toBe(summaryQuestion(study))
  }
  // A gauge that is called otherwise reads as before.
  expect(summaryQuestion({ ...study, gauge: { ...gauge, name: 'old' } })).toBe(
    summaryQuestion({ ...study, gauge: { ...gauge, name: 'new' } }),
  )
})

const gauge = {
  ...{ id: '', name: '', kind: 'other' as const, repeatability: null, reload: null, calibration: null },
  origins: { repeatability: null, reload: null, calibration: null },
  ...{ rangeLow: null, rangeHigh: null, fringeStep: null },
}

test('another summary of the same readings has another edition', () => {
  const known = { ...gauge, repeatability: 2, reload: 1, calibration: 0.01 }
  const studies: SummarizedStudy[] = [study, { ...study, siteMap: '5', gauge: known }]
  const rounded = JSON.stringify(
    studies.map((one) => summarizeRun(one, { code: 'W01' }, readings)),
    (_, value) => (typeof value === 'number' ? Number(value.toPrecision(9)) : value),
  )
  const seen = createHash('sha256').update(rounded).digest('hex').slice(0, 16)
  // Where this fails, databases hold summaries of the old kind: raise `summaryEdition` and write both here.
  expect({ edition: summaryEdition, seen }).toEqual({ edition: 1, seen: 'c34d17d2e37340ef' })
})
