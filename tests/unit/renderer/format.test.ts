import { afterEach, describe, expect, test } from 'vitest'
import {
  count,
  showMinutes,
  showMoment,
  showNumber,
  showTarget,
  showThickness,
} from '../../../renderer/format.ts'
import { decimalsFor, unbroken } from '../../../shared/charts/format.ts'
import { parseNumber, showDecimalsBy } from '../../../shared/numbers.ts'

afterEach(() => showDecimalsBy(() => 'point'))

describe('a number as shown', () => {
  test('has the decimal sign of the person and a true minus', () => {
    expect(showNumber(-1.25, { decimals: 1 })).toBe('−1.3')
    showDecimalsBy(() => 'comma')
    expect(showNumber(-1.25, { decimals: 1 })).toBe('−1,3')
    expect(showNumber(1500)).toBe('1500')
  })

  test('can be typed back: no thousands signs, and the minus is read', () => {
    for (const value of [0, -0.5, 12345.678, 1e-7, 98765432])
      for (const sign of ['comma', 'point'] as const) {
        showDecimalsBy(() => sign)
        expect(parseNumber(showNumber(value))).toEqual({ ok: true, value })
      }
  })

  test('shows no rounding noise, no minus zero, and a dash for what is not known', () => {
    expect(showNumber(0.1 + 0.2)).toBe('0.3')
    expect(showNumber(-0.001, { decimals: 1 })).toBe('0.0')
    expect([null, undefined, Number.NaN, Number.POSITIVE_INFINITY].map((value) => showNumber(value))).toEqual(
      ['–', '–', '–', '–'],
    )
  })

  test('takes its digits from the uncertainty: two significant ones of it', () => {
    expect([30, 9.4, 0.53, 0.003].map(decimalsFor)).toEqual([0, 1, 2, 4])
    expect(showThickness(1495.83, { unit: 'nm', uncertaintyNm: 12 })).toBe('1496')
    expect(showThickness(1495.83, { unit: 'µm', uncertaintyNm: 12 })).toBe('1.496')
  })
})

describe('words around numbers', () => {
  test('a target stands with its tolerance and unit, in any unit', () => {
    expect(showTarget(1500, 30, { unit: 'nm' })).toBe('1500 ± 30 nm')
    expect(showTarget(1500, 30, { unit: 'µm' })).toBe('1.5 ± 0.03 µm')
    expect(showTarget(1500, null, { unit: 'Å' })).toBe('15000 Å')
    expect(showTarget(null, 30, { unit: 'nm' })).toBe('–')
  })

  test('minutes turn into hours, rounded once', () => {
    expect([0, 59.4, 59.6, 243].map(showMinutes)).toEqual(['0 min', '59 min', '1 h 00 min', '4 h 03 min'])
  })

  test('a line breaks neither before a unit nor within a p value', () => {
    expect(unbroken('Runs scatter by 0.30 % at 40 s (p = 0.02), 3 sites, 5 nm thick.')).toBe(
      'Runs scatter by 0.30\u00A0% at 40\u00A0s (p\u00A0=\u00A00.02), 3 sites, 5\u00A0nm thick.',
    )
  })

  test('one run, more runs', () => {
    expect([count(1, 'run'), count(0, 'run'), count(2, 'study', 'studies')]).toEqual([
      '1 run',
      '0 runs',
      '2 studies',
    ])
  })

  test('a moment of today is a time, an older one has its day', () => {
    const now = new Date(2026, 2, 2, 15, 0)
    expect(showMoment(new Date(2026, 2, 2, 9, 5).toISOString(), now, 'en-GB')).toBe('09:05')
    expect(showMoment(new Date(2026, 1, 27, 9, 5).toISOString(), now, 'en-GB')).toBe('27 Feb 2026, 09:05')
    expect(showMoment(new Date(2026, 1, 27, 9, 5).toISOString(), now, 'de-DE')).toBe('27. Feb. 2026, 09:05')
    // Without a language it is the system's.
    const system = new Intl.DateTimeFormat().resolvedOptions().locale
    const moment = new Date(2026, 1, 27, 9, 5).toISOString()
    expect(showMoment(moment, now)).toBe(showMoment(moment, now, system))
    expect(showMoment('not a date', now)).toBe('–')
  })
})
