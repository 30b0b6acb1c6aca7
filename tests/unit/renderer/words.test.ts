import { describe, expect, test } from 'vitest'
import { shownResponse } from '../../../shared/charts/format.ts'
import type { Fit } from '../../../shared/contract/results/fit.ts'
import { shapeSentence, sideOf } from '../../../shared/film/shape-words.ts'
import {
  bendSentence,
  lackOfFitSentence,
  outlierSentence,
  scaleOf,
  shownFit,
} from '../../../shared/model/fit-words.ts'
import { asPercent, equivalenceWords, testWords } from '../../../shared/model/lot-words.ts'

const flat = { bowl: 0, ring: 0, wedgeX: 0, wedgeY: 0, rest: 0, wedge: 0, wedgeDirection: 0 }

describe('the shape of a film in words', () => {
  test('names the strongest term and its sign', () => {
    expect(shapeSentence({ ...flat, bowl: -0.007, ring: 0.002 })).toBe(
      'Mostly dome: centre thicker than edge.',
    )
    expect(shapeSentence({ ...flat, ring: -0.004 })).toBe('Mostly ring: thick at mid radius.')
    expect(shapeSentence({ ...flat, wedge: 0.003, wedgeDirection: 210 })).toBe(
      'Mostly wedge: thick towards the bottom left (210° from the right).',
    )
  })

  test('says when there is none, or too little to tell', () => {
    expect(shapeSentence(flat)).toBe('Flat: no shape term reaches 0.1 %.')
    expect(shapeSentence({ ...flat, bowl: null, ring: null, wedge: null })).toContain('More sites')
  })

  test('knows the eight sides, counter-clockwise from the right', () => {
    expect([0, 90, 180, 270, 359, -45].map(sideOf)).toEqual([
      'right',
      'top',
      'left',
      'bottom',
      'right',
      'bottom right',
    ])
  })
})

describe('the fit in words', () => {
  test('a log response shows fitted values in its unit and residuals in percent', () => {
    const view = shownFit(scaleOf('log(thickness) ~ log(speed)'), shownResponse('thickness', 'Å'))
    expect(view.fitted(Math.log(1500))).toBeCloseTo(15000, 8)
    expect(view.residual(0.004)).toBeCloseTo(0.4, 12)
    expect(view.residualUnit).toBe('%')
  })

  test('a plain response shows both in its unit', () => {
    const view = shownFit(scaleOf('thickness ~ speed'), shownResponse('thickness', 'µm'))
    expect(view.residual(30)).toBeCloseTo(0.03, 12)
    expect(view.residualUnit).toBe('µm')
  })

  test('lack of fit warns only where it is significant, and says when it cannot be tested', () => {
    const fit = (p: number) => ({ lackOfFit: { df: 3, pureErrorDf: 4, f: 9.1, p } }) as Fit
    expect(lackOfFitSentence(fit(0.03)).tone).toBe('warning')
    expect(lackOfFitSentence(fit(0.4)).tone).toBe('plain')
    expect(lackOfFitSentence({ lackOfFit: null } as Fit).words).toContain('No settings were repeated')
  })

  test('a significant square is said to bend the fit', () => {
    const fit = (p: number) =>
      ({
        terms: [
          { term: 'log(rpm)', p: 1e-9 },
          { term: 'log(rpm)^2', p },
        ],
      }) as Fit
    expect(bendSentence(fit(0.0003))?.words).toContain('bent in log(rpm) (p = 0.00030)')
    expect(bendSentence(fit(0.3))).toBeNull()
  })

  test('runs far off are named', () => {
    const fit = { runs: [{ studentized: 0.4 }, { studentized: -4.2 }, { studentized: null }] } as Fit
    expect(outlierSentence(fit, ['W01', 'W02', 'W03']).words).toContain('W02 (\u22124.2)')
  })
})

describe('lots in words', () => {
  test('a shift is shown with its sign', () => {
    expect(asPercent(1.018)).toBe('+1.80 %')
    expect(asPercent(0.987)).toBe('\u22121.30 %')
    expect(asPercent(null)).toBe('–')
  })

  test('no equivalence is claimed across sessions', () => {
    const shift = { equivalent: null } as Parameters<typeof equivalenceWords>[0]
    expect(equivalenceWords(shift, 1)).toBe('not judged: days may differ')
    expect(equivalenceWords({ ...shift, equivalent: true }, 1)).toBe('equal within ±1.0 %')
    expect(equivalenceWords({ ...shift, equivalent: true }, null)).toBe('no margin stated')
  })

  test('an insignificant test is no proof of equality', () => {
    const words = testWords({ question: 'same', f: 0.9, df1: 2, df2: 12, p: 0.43 })
    expect(words.answer).toContain('no proof')
    expect(words.numbers).toBe('F = 0.9000 on 2 and 12 degrees of freedom, p = 0.430')
  })
})
