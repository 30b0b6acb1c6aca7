import { expect, test } from 'vitest'
import { cividis } from '../../../shared/charts/colour-scale.ts'
import { waferMarks } from '../../../shared/charts/wafer-marks.ts'

const site = (at: number, value: number | null) => ({ site: at, xMm: 0, yMm: at, value, excluded: null })
const options = {
  colour: cividis,
  lightText: [255, 255, 255] as [number, number, number],
  size: 100,
  decimals: 0,
  unit: 'nm',
}

test('what is typed and not saved is marked and said', () => {
  const marks = waferMarks([site(1, 1500), { ...site(2, 1510), unsaved: true }, site(3, null)], options)
  expect(marks.map(({ unsaved }) => unsaved)).toEqual([false, true, false])
  expect(marks.map(({ words }) => words)).toEqual([
    'site 1: 1500 nm',
    'site 2: 1510 nm (not saved yet)',
    'site 3: not read',
  ])
})

test('on a common scale a wafer between two others takes the colours between theirs', () => {
  const [alone] = waferMarks([site(1, 1500), site(2, 1510)], options)
  const [low, high] = waferMarks([site(1, 1480), site(2, 1520)], options)
  const [shared] = waferMarks([site(1, 1500), site(2, 1510)], { ...options, span: [1480, 1520] })
  expect(alone?.fill).toBe(low?.fill)
  expect(shared?.fill).not.toBe(low?.fill)
  expect(shared?.fill).not.toBe(high?.fill)
})
