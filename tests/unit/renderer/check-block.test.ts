import { expect, test } from 'vitest'
import { checkBlock } from '../../../renderer/screens/bench/gauge/check-block.ts'

test('a pasted log is read line by line, with or without days and heads', () => {
  expect(checkBlock('day\tthickness\n2026-03-02\t501.2\n2026-03-03\t500,9\n', '2026-03-09')).toEqual([
    { day: '2026-03-02', text: '501.2' },
    { day: '2026-03-03', text: '500,9' },
  ])
  expect(checkBlock('501.2\n500.9', '2026-03-09')).toEqual([
    { day: '2026-03-09', text: '501.2' },
    { day: '2026-03-09', text: '500.9' },
  ])
})

test('what is neither day nor reading is not taken', () => {
  expect(checkBlock('2.3.2026\t501.2', '2026-03-09')).toBeNull()
  expect(checkBlock('2026-03-02\t501.2\t7', '2026-03-09')).toBeNull()
  expect(checkBlock('\n', '2026-03-09')).toBeNull()
})
