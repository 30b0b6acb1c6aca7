import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import {
  bayRamp,
  cividis,
  css,
  faded,
  luminance,
  takesDarkText,
} from '../../../shared/charts/colour-scale.ts'

const shares = Array.from({ length: 101 }, (_, k) => k / 100)

describe('cividis', () => {
  test('ends where the published table ends', () => {
    // Nuñez, Anderton & Renslow, PLoS ONE 13(7), 2018, e0199239: first and last of the 256 colours.
    expect(cividis(0)).toEqual([0, 32, 76])
    expect(cividis(1)).toEqual([255, 233, 69])
  })

  test('stays within 3/255 of each of the 256 published colours', () => {
    // The authors' table in hexadecimal, kept in tests/data/cividis.csv.
    const rows = readFileSync('tests/data/cividis.csv', 'utf8').trim().split('\n').slice(2)
    expect(rows).toHaveLength(256)
    for (const row of rows) {
      const [index, ...published] = row.split(',').map(Number)
      cividis(index! / 255).forEach((channel, k) => {
        expect(Math.abs(channel - published[k]!), `colour ${index}`).toBeLessThanOrEqual(3)
      })
    }
  })

  test('grows lighter all the way', () => {
    const light = shares.map((share) => luminance(cividis(share)))
    light.slice(1).forEach((value, k) => {
      expect(value).toBeGreaterThanOrEqual(light[k]!)
    })
  })

  test('draws shares beyond its ends, and what is no number, as an end', () => {
    expect(cividis(-1)).toEqual(cividis(0))
    expect(cividis(2)).toEqual(cividis(1))
    expect(cividis(Number.NaN)).toEqual(cividis(0))
  })
})

describe('the ramp of the bay', () => {
  test('draws nothing in the blue channel', () => {
    for (const share of shares) expect(bayRamp(share)[2]).toBe(0)
  })

  test('starts black and rises in lightness by nearly even steps', () => {
    expect(bayRamp(0)).toEqual([0, 0, 0])
    const lightness = shares.map((share) => lightnessOf(luminance(bayRamp(share))))
    lightness.slice(1).forEach((value, k) => {
      expect(value - lightness[k]!, `step ${k}`).toBeGreaterThan(0.3)
      expect(value - lightness[k]!, `step ${k}`).toBeLessThan(2)
    })
  })
})

test('luminance is that of WCAG 2.2: white 1, black 0, red 0.2126', () => {
  expect(luminance([255, 255, 255])).toBeCloseTo(1, 12)
  expect(luminance([0, 0, 0])).toBe(0)
  expect(luminance([255, 0, 0])).toBeCloseTo(0.2126, 12)
})

test('text is dark on light colours and light on dark ones', () => {
  expect(takesDarkText([255, 233, 69])).toBe(true)
  expect(takesDarkText([0, 32, 76])).toBe(false)
})

test('a colour is written for a style sheet, with an opacity where one is asked for', () => {
  expect(css([1, 2, 3])).toBe('rgb(1, 2, 3)')
  expect(faded('#0a6468', 0.25)).toBe('rgba(10, 100, 104, 0.25)')
  expect(faded('transparent', 0.25)).toBe('transparent')
})

/** L* of CIE 1976 (ISO/CIE 11664-4) from relative luminance. */
function lightnessOf(y: number): number {
  return y > 216 / 24389 ? 116 * Math.cbrt(y) - 16 : (y * 24389) / 27
}
