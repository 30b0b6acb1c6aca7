import fc from 'fast-check'
import { afterEach, describe, expect, test } from 'vitest'
import { answerInDecimalSign, sentenceInDecimalSign } from '../../../renderer/decimals-in-sentences.ts'
import { newFactor } from '../../../renderer/screens/plan/draft.ts'
import { fixed, percent, plainNumber, pWords, significant } from '../../../shared/charts/format.ts'
import { chanceInWords } from '../../../shared/next/reason.ts'
import { parseNumber, showDecimalsBy } from '../../../shared/numbers.ts'
import { shownSettings } from '../../../shared/words.ts'

afterEach(() => showDecimalsBy(() => 'point'))

describe('numbers by the decimal sign of the page', () => {
  test('every format writes the point unless the page has said otherwise', () => {
    const written = () => [
      fixed(-1.25, 1),
      significant(0.012345, 3),
      significant(1.5e-7, 2),
      plainNumber(62.5),
      percent(0.0312),
      pWords(1e-9),
      chanceInWords(0.9999),
      shownSettings({ time: 2.5 }, [newFactor('time', [])])[0]?.value,
    ]
    const pointed = written()
    expect(pointed.join(' ')).not.toContain(',')
    showDecimalsBy(() => 'comma')
    expect(written()).toEqual(pointed.map((text) => text?.replace('.', ',')))
    expect(written()[0]).toBe('−1,3')
  })

  test('what is shown can be typed back with either sign', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-4, max: 1e6, noNaN: true }), (value) => {
        for (const sign of ['comma', 'point'] as const) {
          showDecimalsBy(() => sign)
          expect(parseNumber(plainNumber(value))).toEqual({ ok: true, value: Number(value.toPrecision(6)) })
        }
      }),
    )
  })
})

describe('sentences of the engine', () => {
  const rewritten = (sentence: string) => {
    showDecimalsBy(() => 'comma')
    return sentenceInDecimalSign(sentence)
  }

  test('have the sign of the page in every number that stands alone', () => {
    expect(rewritten('F = 4.31 on 2 and 8.5, p = 0.023.')).toBe('F = 4,31 on 2 and 8,5, p = 0,023.')
    expect(rewritten('−0.512 ± 0.008 (0.1 to 0.2), about 0.5 % and 2.5-fold; 1.2·10⁻⁵')).toBe(
      '−0,512 ± 0,008 (0,1 to 0,2), about 0,5 % and 2,5-fold; 1,2·10⁻⁵',
    )
    expect(rewritten('The set is 0.31 % thinner.')).toBe('The set is 0,31 % thinner.')
  })

  test('keep what was typed, names, versions, files and formulas', () => {
    for (const sentence of [
      'Row 14, thickness: ‘12.5 x’ is no number.',
      'Lot A2.5 and file run.2.5.csv, program 0.3.1 of 2026.',
      'thickness^0.5 ~ speed',
      'Row 3. Then row 4.',
    ])
      expect(rewritten(sentence)).toBe(sentence)
  })

  test('are found in an answer by their names; all else comes through as it is, and all with the point', () => {
    const answer = {
      ok: true,
      value: {
        words: ['Off by 0.5 %.'],
        known: { before: '0.41 %', after: '0.38 %' },
        choices: [{ settings: { bake: '100.5' }, reason: 'Learns 0.2 % more.' }],
        text: '1502.5',
        note: 'after 0.5 h',
        name: '0.5',
      },
    }
    expect(answerInDecimalSign(answer, 'next.recommend')).toBe(answer)
    showDecimalsBy(() => 'comma')
    expect(answerInDecimalSign(answer, 'next.recommend').value).toEqual({
      words: ['Off by 0,5 %.'],
      known: { before: '0,41 %', after: '0,38 %' },
      choices: [{ settings: { bake: '100.5' }, reason: 'Learns 0,2 % more.' }],
      text: '1502.5',
      note: 'after 0.5 h',
      name: '0.5',
    })
    // A person's own reason.
    const decided = { ok: true, value: [{ reason: 'within 0.5 % of the target' }] }
    expect(answerInDecimalSign(decided, 'recipes.list')).toEqual(decided)
  })
})
