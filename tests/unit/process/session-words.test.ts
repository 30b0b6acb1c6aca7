import { expect, test } from 'vitest'
import { sessionInWords } from '../../../shared/process/session-words.ts'

test('a session is called one once', () => {
  expect(['Session 1', 'session of May', 'Monday', 'Sessions'].map(sessionInWords)).toEqual([
    'Session 1',
    'session of May',
    'session Monday',
    'session Sessions',
  ])
})
