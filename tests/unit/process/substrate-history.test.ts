import { describe, expect, test } from 'vitest'
import { type Coat, filmOn, substrateHistory } from '../../../shared/process/substrate-history.ts'

const coat = (code: string, at: string | null): Coat => ({ runId: code, code, study: 'S', lot: null, at })
const event = (kind: 'stripped' | 'primed', at: string) => ({ id: `${kind} ${at}`, kind, at, text: '' })
const overs = (...given: Parameters<typeof substrateHistory>) =>
  substrateHistory(...given).flatMap((entry) => (entry.what === 'coat' ? [[entry.code, entry.over]] : []))

describe('a substrate', () => {
  test('is coated, stripped, primed and coated again', () => {
    const history = substrateHistory(
      [coat('W09', '2026-03-04'), coat('W03', '2026-03-02')],
      [event('primed', '2026-03-03T10'), event('stripped', '2026-03-03T09')],
    )
    expect(history.map((entry) => (entry.what === 'coat' ? entry.code : entry.kind))).toEqual([
      'W03',
      'stripped',
      'primed',
      'W09',
    ])
    expect(history.every((entry) => entry.what === 'event' || entry.over === null)).toBe(true)
    expect(filmOn(history)).toBe('W09')
  })

  test('that is coated again without being stripped says over what', () => {
    expect(
      overs([coat('W03', '2026-03-02'), coat('W09', '2026-03-04')], [event('primed', '2026-03-03')]),
    ).toEqual([
      ['W03', null],
      ['W09', 'W03'],
    ])
  })

  test('says nothing of coats of an unknown moment that may have been stripped off', () => {
    const unknown = [coat('W03', null), coat('W09', '2026-03-04')]
    expect(overs(unknown, [event('stripped', '2026-03-03')])[1]).toEqual(['W09', null])
    expect(overs(unknown, [event('stripped', '2026-03-05')])[1]).toEqual(['W09', 'W03'])
    expect(overs(unknown, [])[1]).toEqual(['W09', 'W03'])
  })

  test('is bare once it is stripped', () => {
    const stripped = substrateHistory([coat('W03', '2026-03-02')], [event('stripped', '2026-03-03')])
    expect(filmOn(stripped)).toBeNull()
    expect(filmOn([])).toBeNull()
  })
})
