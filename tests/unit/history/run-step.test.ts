import { expect, test } from 'vitest'
import { runStep } from '../../../shared/history/run-step.ts'

test('a change of a run is called by what it does', () => {
  expect(runStep('W01', { state: 'coated', stepsDone: {} })).toBe('Coated W01')
  expect(runStep('W01', { state: 'failed', defect: 'streak' })).toBe('Marked W01 as a failed coat')
  expect(runStep('W01', { session: 'Day 1' })).toBe('Changed the session of W01')
  expect(runStep('W01', { excluded: 'wrong resist' })).toBe('Left W01 out of the fits')
  expect(runStep('W01', { excluded: null })).toBe('Took W01 back into the fits')
  expect(runStep('W01', { note: '', lot: 'B' })).toBe('Changed run W01')
})
