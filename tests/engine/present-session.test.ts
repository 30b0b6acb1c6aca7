import { expect, test } from 'vitest'
import { presentSession } from '../../electron/engine/calls/plans.ts'

type Runs = Parameters<typeof presentSession>[0]
const runs = (...given: [session: string | null, coatedAt: string | null][]) =>
  given.map(([session, coatedAt]) => ({ session, coatedAt })) as unknown as Runs
const now = new Date('2026-03-02T12:00:00.000Z')

test('a run taken today belongs to the session of the run coated last today', () => {
  const [early, late] = ['2026-03-02T08:00:00.000Z', '2026-03-02T11:00:00.000Z']
  expect(presentSession(runs(['Session 4', late], ['Session 3', early]), now)).toBe('Session 4')
})

test('where that run names no session, neither does the new one: a name would make it another day', () => {
  expect(presentSession(runs([null, '2026-03-02T11:00:00.000Z']), now)).toBeNull()
})

test('on another day it opens a new session, behind those that have a name', () => {
  const before = '2026-03-01T11:00:00.000Z'
  expect(presentSession(runs([null, before]), now)).toBe('Session 1')
  expect(presentSession(runs(['Session 3', before], ['Session 4', null]), now)).toBe('Session 5')
  expect(presentSession([], now)).toBe('Session 1')
})
