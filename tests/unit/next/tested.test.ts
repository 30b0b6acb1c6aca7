import { describe, expect, test } from 'vitest'
import type { Settings } from '../../../shared/contract/things.ts'
import type { Outlook, Predictor } from '../../../shared/next/predictor.ts'
import type { Axis } from '../../../shared/next/region.ts'
import { beyondTested } from '../../../shared/next/tested.ts'

const axes = ['speed', 'time'].map((name) => ({ name })) as Axis[]
// More leverage than any run, so that only the place decides.
const predictor = { columns: axes, largestVariance: 0.3 } as unknown as Predictor
const why = (settings: Settings, tested: Settings[]) =>
  beyondTested({ axes, predictor, tested, settings, outlook: { mean: 0, variance: 0.9 } as Outlook })

const corners = [2000, 4500].flatMap((speed) => [20, 60].map((time) => ({ speed, time })))
const diagonal = [0, 1, 2, 3].map((k) => ({ speed: 2000 + 800 * k, time: 20 + 13 * k }))

describe('what lies beyond the tested region', () => {
  test('not a setting on an edge between tested ones, nor one in their midst', () => {
    expect(why({ speed: 4500, time: 39 }, corners)).toBeNull()
    expect(why({ speed: 4370, time: 20 }, corners)).toBeNull()
    expect(why({ speed: 3000, time: 41 }, corners)).toBeNull()
  })

  test('a setting inside both ranges that no tested settings surround', () => {
    expect(why({ speed: 4400, time: 20 }, diagonal)).toBe('no tested settings lie around it')
    expect(why({ speed: 3200, time: 39 }, diagonal)).toBeNull()
  })

  test('a setting outside a range', () => {
    expect(why({ speed: 4600, time: 39 }, corners)).toContain('above the highest tested, 4500')
  })
})
