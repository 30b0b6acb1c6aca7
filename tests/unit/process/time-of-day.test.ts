import { expect, test } from 'vitest'
import { momentOf } from '../../../shared/process/time-of-day.ts'

const now = new Date(2026, 2, 2, 10, 0)

test('a time is today, or last night where it is still to come; a day is its noon', () => {
  expect(momentOf('08:30', now)).toEqual(new Date(2026, 2, 2, 8, 30))
  expect(momentOf(' 23:15 ', now)).toEqual(new Date(2026, 2, 1, 23, 15))
  expect(momentOf('2026-02-28', now)).toEqual(new Date(2026, 1, 28, 12, 0))
  expect(momentOf('2026-02-28 7:05', now)).toEqual(new Date(2026, 1, 28, 7, 5))
})

test('what is no moment', () => {
  for (const text of ['', '25:00', '08:60', '2026-02-31', '2026-13-01', 'morning', '8'])
    expect(momentOf(text, now), text).toBeNull()
})
