import { expect, test } from 'vitest'
import { askedQuestions } from '../../../renderer/screens/bench/asked-questions.ts'
import type { RunCard } from '../../../renderer/screens/bench/bench-store.ts'
import type { Reading, Study } from '../../../shared/contract/things.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 })
const study = {
  diameterMm: 100,
  edgeExclusionMm: 6,
  targetNm: 1500,
  targetAfter: 'bake',
  readAfter: 'bake',
  gauge: null,
} as Study

function card(texts: string[], more: Partial<Reading> = {}) {
  const readings = texts.map((text, i) => ({
    ...sites[i],
    repeat: 1,
    takenAfter: null,
    quantity: 'thickness',
    value: Number(text),
    text,
    unit: 'nm',
    excluded: null,
    ...(i === 4 ? more : {}),
  })) as Reading[]
  return { study, readings, expectedNm: null, expectedIntervalNm: null } as unknown as RunCard
}
const nine = ['1500', '1501', '1502', '1503', '1500', '1501', '1502', '1503', '1500']
const at = (text: string) => nine.map((good, i) => (i === 4 ? text : good))

test('one site is asked about at its field, with what to enter instead', () => {
  const { bySpot, ofRun } = askedQuestions(card(at('1.5')))
  expect(ofRun).toEqual([])
  expect([...bySpot.keys()]).toEqual(['5 1'])
  expect(bySpot.get('5 1')?.corrections).toEqual([{ site: 5, repeat: 1, text: '1.5 µm' }])
})

test('a comet has no right text, but a reason for which it may be left out', () => {
  const asked = askedQuestions(card(at('1440'))).bySpot.get('5 1')
  expect(asked?.corrections).toEqual([])
  expect(asked?.reason).toBe('particle or comet at the site')
})

test('a whole wafer in another unit is one question, with a correction for every site', () => {
  const { bySpot, ofRun } = askedQuestions(card(nine.map((text) => `${text}0`)))
  expect(bySpot.size).toBe(0)
  expect(ofRun).toHaveLength(1)
  expect(ofRun[0]?.corrections.map(({ site, text }) => `${site}: ${text}`)).toContain('5: 15000 Å')
})

test('nothing is asked about a site that is left out or being typed over', () => {
  expect(askedQuestions(card(at('1440'), { excluded: 'a comet' })).bySpot.size).toBe(0)
  expect(askedQuestions(card(at('1440')), ({ site }) => site === 5).bySpot.size).toBe(0)
})

test('each repeat is asked about by itself, and only at the stage that is being read', () => {
  const once = card(nine).readings
  const again = card(at('1440')).readings.map((reading) => ({ ...reading, repeat: 2 }))
  const both = { ...card(nine), readings: [...once, ...again] }
  expect([...askedQuestions(both).bySpot.keys()]).toEqual(['5 2'])
  const spun = again.map((reading) => ({ ...reading, takenAfter: 'spin' as const }))
  expect(askedQuestions({ ...both, readings: [...once, ...spun] }).bySpot.size).toBe(0)
  const reading = { ...study, readAfter: 'spin' as const }
  expect([
    ...askedQuestions({ ...both, study: reading, readings: [...once, ...spun] }).bySpot.keys(),
  ]).toEqual(['5 2'])
})
