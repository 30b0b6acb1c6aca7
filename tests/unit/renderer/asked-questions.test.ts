import { describe, expect, test } from 'vitest'
import { askedIfEntered, askedQuestions } from '../../../renderer/screens/bench/asked-questions.ts'
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

describe('before anything is entered', () => {
  const entry = (site: number, text: string) => ({ site, repeat: 1, text })
  const empty = { ...card([]), sites }

  test('a pasted column is asked what the same texts are asked once they stand', () => {
    const texts = ['1302', '1303', '1,3', '1305', '1306', '1307', '1308', '1309', '1304']
    const offered = texts.map((text, i) => entry(i + 1, text))
    const asked = askedIfEntered(empty, offered, 'nm')
    const standing = askedQuestions(card(texts.map((text) => text.replace(',', '.'))))
    expect([...asked.bySpot.keys()]).toEqual(['3 1'])
    expect(asked.bySpot.get('3 1')?.words).toBe(standing.bySpot.get('3 1')?.words.replaceAll('1.3’', '1,3’'))
    const right = offered.map((one) => (one.site === 3 ? entry(3, '1303') : one))
    expect(askedIfEntered(empty, right, 'nm').bySpot.size).toBe(0)
  })

  test('a correction takes the place of what stands, and only what is offered is asked about', () => {
    const odd = { ...card(at('1.5')), sites }
    expect(askedIfEntered(odd, [entry(5, '1500')], 'nm').bySpot.size).toBe(0)
    expect(askedIfEntered(odd, [entry(1, '1501')], 'nm').bySpot.size).toBe(0)
    expect([...askedIfEntered(odd, [entry(1, '150')], 'nm').bySpot.keys()]).toEqual(['1 1'])
  })

  test('a block in another unit is one question of the run; one asked already is not asked again', () => {
    const angstroms = nine.map((text, i) => entry(i + 1, `${text}0`))
    expect(askedIfEntered(empty, angstroms, 'nm').ofRun).toHaveLength(1)
    expect(askedIfEntered(empty, angstroms, 'Å').ofRun).toEqual([])
    const standing = { ...card(nine.map((text) => `${text}0`)), sites }
    expect(askedIfEntered(standing, angstroms.slice(0, 1), 'nm').ofRun).toEqual([])
  })

  test('what is no number is left aside', () => {
    expect(askedIfEntered(empty, [entry(1, 'abc')], 'nm')).toEqual({ bySpot: new Map(), ofRun: [] })
  })
})
