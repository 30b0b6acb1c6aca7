import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { soon } from '../../../renderer/soon.ts'

beforeEach(() => {
  vi.useFakeTimers()
})
afterEach(() => {
  vi.useRealTimers()
})

test('who asks within a few milliseconds shares one reading, who asks once it has begun gets another', async () => {
  const begun: number[] = []
  const work = vi.fn(async () => {
    begun.push(begun.length)
    await new Promise((later) => setTimeout(later, 100))
  })
  const load = soon(work)
  const first = load()
  expect(load()).toBe(first)
  await vi.advanceTimersByTimeAsync(10)
  expect(work).toHaveBeenCalledTimes(1)
  const late = load()
  expect(late).not.toBe(first)
  await vi.advanceTimersByTimeAsync(10)
  expect(work).toHaveBeenCalledTimes(2)
  await vi.advanceTimersByTimeAsync(200)
  await Promise.all([first, late])
})

test('what goes wrong is heard by all, and does not stand in the way of the next', async () => {
  const work = vi.fn(async () => {
    if (work.mock.calls.length === 1) throw new Error('once')
  })
  const load = soon(work)
  const heard = Promise.allSettled([load(), load()])
  await vi.advanceTimersByTimeAsync(10)
  expect((await heard).map(({ status }) => status)).toEqual(['rejected', 'rejected'])
  const again = load()
  await vi.advanceTimersByTimeAsync(10)
  await again
  expect(work).toHaveBeenCalledTimes(2)
})
