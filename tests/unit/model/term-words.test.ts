import { describe, expect, test } from 'vitest'
import { shownResponse } from '../../../shared/charts/format.ts'
import { scaleOf } from '../../../shared/model/fit-words.ts'
import { type TermOfFit, termWords } from '../../../shared/model/term-words.ts'

const units: Record<string, string> = { speed: 'rpm', bake: '°C', time: 's' }
const said = (model: string, term: TermOfFit, all: string[] = [term.term]) =>
  termWords(term, {
    scale: scaleOf(model),
    all: all.map((each) => ({ term: each })),
    level: 0.95,
    unitOf: (column) => units[column] ?? '',
    response: shownResponse('thickness', 'Å'),
  })
const term = (name: string, estimate: number, half: number): TermOfFit => ({
  term: name,
  estimate,
  lower: estimate - half,
  upper: estimate + half,
})
const log = 'log(thickness) ~ log(speed) + bake'

describe('what a term says', () => {
  test('the exponent: what doubling the speed does, with the half width of its interval', () => {
    // 2^−0.5 is 0.7071; its ends 2^−0.53 = 0.6926 and 2^−0.47 = 0.7220 lie 0.0294 apart.
    expect(said(log, term('log(speed)', -0.5, 0.03))).toBe(
      'Faster spin thins the film: doubling the speed gives 0.707 ± 0.015 of the thickness (95 %), ' +
        'an exponent of 0.500 ± 0.030.',
    )
    expect(said(log, term('log(time)', 0.1, 0.05))).toBe(
      'More time raises the thickness: doubling time gives 1.072 ± 0.037 of the thickness (95 %).',
    )
  })

  test('a step of one unit, with the unit of the factor; a share on the log scale, else in the shown unit', () => {
    // exp(−0.003) − 1 is −0.29955 %; its ends, −0.35 and −0.25 %, lie 0.0997 % apart.
    expect(said(log, term('bake', -0.003, 0.0005))).toBe(
      '1 °C more bake lowers the thickness by 0.300 ± 0.050 % (95 %).',
    )
    // 0.12 nm is 1.2 Å.
    expect(said('thickness ~ speed', term('speed', -0.12, 0.02))).toBe(
      '1 rpm more speed lowers the thickness by 1.20 ± 0.20 Å (95 %).',
    )
    expect(said('thickness ~ dose', term('dose', 1, 0.1))).toMatch(/^One more of dose raises/)
    expect(said('sqrt(thickness) ~ bake', term('bake', 0.2, 0.1))).toContain('of sqrt(thickness)')
  })

  test('a level against the first', () => {
    expect(said(log, term('lot[B]', Math.log(1.018), 0.004), ['log(speed)', 'lot[B]', 'lot[C]'])).toBe(
      'With lot B the thickness lies 1.80 ± 0.41 % above that of the lot without a term here (95 %).',
    )
  })

  test('what cannot be told from noise, and what has no interval', () => {
    expect(said(log, term('bake^2', 0.1, 0.2), ['bake', 'bake^2'])).toBe(
      'The quadratic bake term cannot be told from noise with these runs: its 95 % interval holds 0.',
    )
    expect(said(log, { term: 'bake', estimate: 1, lower: null, upper: null })).toContain('has no interval')
    expect(said(log, term('constant', 7, 1))).toBe('')
  })

  test('where a column stands in other terms, the effect depends on them', () => {
    const all = ['constant', 'log(speed)', 'bake', 'log(speed).bake', 'bake^2', 'lot[B]', 'lot[C]']
    const of = (name: string) => said(log, term(name, 0.5, 0.1), all)
    expect(of('bake')).toBe('What bake does depends on the setting: see its curve.')
    expect(of('log(speed)')).toContain('depends on the setting')
    expect(of('bake^2')).toBe(
      'The quadratic bake term is told from noise: bake does not act in a straight line.',
    )
    expect(of('log(speed).bake')).toContain('how speed acts depends on bake')
    expect(of('lot[B]')).toContain('that of the lot without a term here')
    const mixed = ['constant', 'speed', 'lot[B]', 'speed.lot[B]']
    expect(said(log, term('lot[B]', 0.5, 0.1), mixed)).toContain('depends on the setting')
    expect(said(log, term('"bake.T"', 0.5, 0.1), ['"bake.T"', '"bake.T"^2'])).toContain(
      'depends on the setting',
    )
  })
})
