import { describe, expect, test } from 'vitest'
import { readNumberField, readThicknessField } from '../../../renderer/parts/field-text.ts'

const value = (answer: ReturnType<typeof readNumberField>) =>
  answer.ok ? answer.value : answer.problems[0]?.code

describe('a number field', () => {
  test('takes point and comma alike', () => {
    expect(value(readNumberField('2.5'))).toBe(2.5)
    expect(value(readNumberField('2,5'))).toBe(2.5)
    expect(value(readNumberField(' −1,5 '))).toBe(-1.5)
  })

  test('left empty it is null where that is allowed, else a problem', () => {
    expect(value(readNumberField('', { mayBeEmpty: true }))).toBe(null)
    expect(value(readNumberField(''))).toBe('notANumber')
  })

  test('refuses what may be meant with thousands signs rather than guess', () => {
    expect(value(readNumberField('1.234.567'))).toBe('ambiguousNumber')
    expect(value(readNumberField('1,234.5'))).toBe('ambiguousNumber')
  })

  test('keeps to its limits and says which one was passed', () => {
    expect(readNumberField('7000', { high: 6000 })).toMatchObject({
      problems: [{ code: 'outOfRange', message: '‘7000’ is above 6000.' }],
    })
    expect(value(readNumberField('-1', { low: 0 }))).toBe('outOfRange')
    expect(value(readNumberField('6000', { low: 0, high: 6000 }))).toBe(6000)
  })

  test('a count takes whole numbers only', () => {
    expect(value(readNumberField('2,5', { whole: true }))).toBe('notWhole')
    expect(value(readNumberField('3', { whole: true }))).toBe(3)
  })
})

describe('a thickness field', () => {
  test('takes any unit behind the number and gives nanometres', () => {
    expect(value(readThicknessField('1500', 'nm'))).toBe(1500)
    expect(value(readThicknessField('1,5 µm', 'nm'))).toBe(1500)
    expect(value(readThicknessField('15306 Å', 'µm'))).toBe(1530.6)
    expect(value(readThicknessField('1.5', 'µm'))).toBe(1500)
  })

  test('refuses zero, less than zero and units of something else', () => {
    expect(value(readThicknessField('0', 'nm'))).toBe('outOfRange')
    expect(value(readThicknessField('-3', 'nm'))).toBe('outOfRange')
    expect(value(readThicknessField('1500 rpm', 'nm'))).toBe('unknownUnit')
  })
})
