import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  fromNanometres,
  parseThickness,
  splitHeader,
  thicknessUnitOf,
  thicknessUnits,
  toNanometres,
} from '../../shared/units.ts'

describe('units of thickness', () => {
  test('one of each in nm, as the SI brochure (9th edition, 2019) and the definition of the ångström have it', () => {
    expect(toNanometres(1, 'nm')).toBe(1)
    expect(toNanometres(1, 'Å')).toBe(0.1)
    expect(toNanometres(1, 'µm')).toBe(1000)
  })

  test('there and back gives the same thickness, but for the last digit', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-3, max: 1e7, noNaN: true }),
        fc.constantFrom(...thicknessUnits),
        (value, unit) => {
          const back = fromNanometres(toNanometres(value, unit), unit)
          expect(Math.abs(back / value - 1)).toBeLessThan(1e-15)
        },
      ),
    )
  })

  test.each([
    ['nm', 'nm'],
    ['\u00C5', 'Å'],
    ['\u212B', 'Å'],
    ['A\u030A', 'Å'],
    ['A', 'Å'],
    ['\u00B5m', 'µm'],
    ['\u03BCm', 'µm'],
    ['um', 'µm'],
    [' micron ', 'µm'],
    ['mm', null],
    ['kÅ', null],
    ['', null],
  ])('%s is read as %s', (written, unit) => expect(thicknessUnitOf(written)).toBe(unit))
})

describe('a thickness as typed', () => {
  test.each([
    ['1530.6', 1530.6, 'nm'],
    ['1530,6', 1530.6, 'nm'],
    ['1530.6 nm', 1530.6, 'nm'],
    ['15306 Å', 1530.6, 'Å'],
    ['15306A\u030A', 1530.6, 'Å'],
    ['1,5306 µm', 1530.6, 'µm'],
    ['1.5306um', 1530.6, 'µm'],
    ['1.5e3 nm', 1500, 'nm'],
  ])('%s is %d nm', (text, valueNm, unit) => {
    const answer = parseThickness(text, { unit: 'nm' })
    expect(answer.ok && answer.value.valueNm).toBeCloseTo(valueNm, 9)
    expect(answer.ok && answer.value.unit).toBe(unit)
    expect(answer.ok && answer.value.text).toBe(text.trim())
  })

  test('a number alone has the unit of the field', () => {
    const answer = parseThickness('15306', { unit: 'Å' })
    expect(answer).toEqual({ ok: true, value: { valueNm: 1530.6, text: '15306', unit: 'Å' } })
  })

  test.each([
    ['', 'notANumber'],
    ['nm', 'notANumber'],
    ['12..5', 'notANumber'],
    ['nm 5', 'notANumber'],
    ['1.234.567 nm', 'ambiguousNumber'],
    ['5 mm', 'unknownUnit'],
    ['15 kÅ', 'unknownUnit'],
    ['5 n m', 'notANumber'],
  ])('%s is refused', (text, code) => {
    const answer = parseThickness(text, { unit: 'nm' })
    expect(!answer.ok && answer.problems[0]?.code).toBe(code)
  })

  test('the decimal sign of a column holds for its cells', () => {
    expect(parseThickness('1,5306', { unit: 'µm', decimal: 'point' }).ok).toBe(false)
    expect(parseThickness('1,5306', { unit: 'µm', decimal: 'comma' }).ok).toBe(true)
  })
})

describe('a header that carries a unit', () => {
  test.each([
    ['thickness (nm)', 'thickness', 'nm'],
    ['thickness [Å]', 'thickness', 'Å'],
    ['rate (nm/s)', 'rate', 'nm/s'],
    ['x_mm', 'x', 'mm'],
    ['bake_degC', 'bake', 'degC'],
    ['main speed_rpm', 'main speed', 'rpm'],
    ['lot', 'lot', null],
    ['plate_visit', 'plate_visit', null],
    ['thickness ()', 'thickness', null],
    ['(nm)', '(nm)', null],
  ])('%s is %s in %s', (header, name, unit) => expect(splitHeader(header)).toEqual({ name, unit }))
})
