import { expect, test } from 'vitest'
import { takenModel } from '../../../shared/model/taken-model.ts'

const fit = (aicc: number | null, code?: string, notEstimable: string[] = []) => ({
  aicc,
  notEstimable: notEstimable.map((term) => ({ term, because: 'it repeats another' })),
  problems: code === undefined ? [] : [{ code, message: 'The runs bend.' }],
})

test('the model of the smallest AICc is taken', () => {
  expect(takenModel([fit(-10), fit(-30), fit(-20)])).toBe(1)
})

test('one that the runs contradict, that cannot be fitted or lacks a term is not taken before others', () => {
  expect(takenModel([fit(-50, 'lackOfFit'), null, fit(-40, undefined, ['speed^2']), fit(-20)])).toBe(3)
})

test('where the runs contradict every model the best of them is taken', () => {
  expect(takenModel([null, fit(-10, 'curvature'), fit(-30, 'lackOfFit')])).toBe(2)
  expect(takenModel([])).toBe(-1)
})
