import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { checkLetter, codeWithLetter, findCode } from '../../../shared/process/check-letter.ts'

const study = '01a21569-006c-7341-8558-2c841d3672df'
const alphabet = 'ABCDEFGHJKLMNPRSTUVWXYZ'
const code = fc.stringMatching(/^[ABCDEFGHJKLMNPRSTUVWXYZ]{1,2}[0-9]{1,6}$/)

describe('the check letter', () => {
  test('is one of 23 letters, the same for capitals and small letters', () => {
    fc.assert(
      fc.property(code, fc.uuid(), (text, id) => {
        const letter = checkLetter(id, text)
        expect(alphabet).toContain(letter)
        expect(checkLetter(id, text.toLowerCase())).toBe(letter)
      }),
    )
  })

  test('changes with any one character of its kind', () => {
    fc.assert(
      fc.property(code, fc.nat(), fc.nat(), (text, place, other) => {
        const i = place % text.length
        const kind = /\d/.test(text[i] as string) ? '0123456789' : alphabet
        const wrong = `${text.slice(0, i)}${kind[other % kind.length]}${text.slice(i + 1)}`
        fc.pre(wrong !== text)
        expect(checkLetter(study, wrong)).not.toBe(checkLetter(study, text))
      }),
    )
  })

  test('changes with any two neighbours of a kind exchanged', () => {
    fc.assert(
      fc.property(code, fc.nat(), (text, place) => {
        const i = place % (text.length - 1)
        const [a, b] = [text[i] as string, text[i + 1] as string]
        fc.pre(a !== b && /\d/.test(a) === /\d/.test(b))
        const wrong = `${text.slice(0, i)}${b}${a}${text.slice(i + 2)}`
        expect(checkLetter(study, wrong)).not.toBe(checkLetter(study, text))
      }),
    )
  })

  test('of the 99 first codes of a study each is caught when taken for its neighbour', () => {
    const codes = Array.from({ length: 99 }, (_, i) => `W${String(i + 1).padStart(2, '0')}`)
    codes.slice(1).forEach((text, i) => {
      expect(checkLetter(study, text)).not.toBe(checkLetter(study, codes[i] as string))
    })
  })
})

describe('a code as typed', () => {
  const codes = ['W01', 'W12', 'W21', 'W07']
  test('is found with and without its letter', () => {
    for (const text of codes) {
      expect(findCode(text, study, codes)).toEqual({ code: text })
      expect(findCode(` ${codeWithLetter(study, text).toLowerCase()} `, study, codes)).toEqual({ code: text })
    }
  })
  test('a wrong letter is questioned, and the run that it fits is offered', () => {
    const wrong = `W12-${checkLetter(study, 'W21')}`
    const found = findCode(wrong, study, codes)
    expect(found).toMatchObject({ question: expect.stringContaining(codeWithLetter(study, 'W21')) })
    expect(found).toMatchObject({ question: expect.stringMatching(/^W12 has the letter ., not ./) })
    expect(findCode('X9', study, codes)).toEqual({ question: 'No run here bears the code ‘X9’.' })
  })
})
