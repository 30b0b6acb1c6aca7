import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { seeded, seedOf } from '../../shared/random.ts'

const draws = (n: number, draw: () => number) => Array.from({ length: n }, draw)

describe('the seeded generator', () => {
  test('the same seed gives the same numbers, another seed others', () => {
    const three = (seed: number) => {
      const random = seeded(seed)
      return [random.uniform(), random.normal(), random.below(1000)]
    }
    expect(three(7)).toEqual(three(7))
    expect(three(7)).not.toEqual(three(8))
  })

  test('uniform numbers lie in [0, 1) with mean 1/2 and variance 1/12', () => {
    const values = draws(20000, seeded(1).uniform)
    const mean = values.reduce((a, b) => a + b) / values.length
    const variance = values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length
    expect(Math.min(...values)).toBeGreaterThanOrEqual(0)
    expect(Math.max(...values)).toBeLessThan(1)
    // Four standard errors: √(1/12/n) and √(1/180/n).
    expect(Math.abs(mean - 1 / 2)).toBeLessThan(4 * Math.sqrt(1 / 12 / 20000))
    expect(Math.abs(variance - 1 / 12)).toBeLessThan(4 * Math.sqrt(1 / 180 / 20000))
  })

  test('normal numbers have the moments and the tails of the normal distribution', () => {
    const n = 40000
    const values = draws(n, seeded(2).normal)
    const moment = (power: number) => values.reduce((sum, value) => sum + value ** power, 0) / n
    expect(Math.abs(moment(1))).toBeLessThan(4 / Math.sqrt(n))
    expect(Math.abs(moment(2) - 1)).toBeLessThan(4 * Math.sqrt(2 / n))
    expect(Math.abs(moment(3))).toBeLessThan(4 * Math.sqrt(15 / n))
    expect(Math.abs(moment(4) - 3)).toBeLessThan(4 * Math.sqrt(96 / n))
    // Share beyond 1.959964 is 0.05.
    const beyond = values.filter((value) => Math.abs(value) > 1.959964).length / n
    expect(Math.abs(beyond - 0.05)).toBeLessThan(4 * Math.sqrt((0.05 * 0.95) / n))
  })

  test('below(n) gives each of 0 … n − 1 equally often', () => {
    const { below } = seeded(3)
    const counts = [0, 0, 0, 0, 0, 0]
    for (let i = 0; i < 12000; i++) {
      const face = below(6)
      counts[face] = (counts[face] ?? 0) + 1
    }
    // χ² with 5 degrees of freedom: 20.5 is its 99.9 % point (NIST/SEMATECH e-Handbook, 1.3.6.7.4).
    expect(counts.reduce((sum, count) => sum + (count - 2000) ** 2 / 2000, 0)).toBeLessThan(20.515)
  })

  test('shuffled keeps every item and leaves the list alone', () => {
    fc.assert(
      fc.property(fc.array(fc.integer()), fc.nat(), (items, seed) => {
        const before = [...items]
        const shuffled = seeded(seed).shuffled(items)
        expect(items).toEqual(before)
        expect([...shuffled].sort()).toEqual([...items].sort())
      }),
    )
  })

  test('every order of three items comes up equally often', () => {
    const random = seeded(4)
    const counts = new Map<string, number>()
    for (let i = 0; i < 6000; i++) {
      const order = random.shuffled(['a', 'b', 'c']).join('')
      counts.set(order, (counts.get(order) ?? 0) + 1)
    }
    expect(counts.size).toBe(6)
    const chiSquare = [...counts.values()].reduce((sum, count) => sum + (count - 1000) ** 2 / 1000, 0)
    expect(chiSquare).toBeLessThan(20.515)
  })
})

describe('a seed of its own for a named thing', () => {
  // Test vectors of FNV-1a, 32 bits, in the IETF draft that the function names.
  test.each([
    ['', 0x811c9dc5],
    ['a', 0xe40c292c],
    ['foobar', 0xbf9cf968],
  ])('‘%s’', (text, hash) => {
    expect(seedOf(text)).toBe(hash)
  })

  test('what it draws first is standard normal over many names', () => {
    const n = 4000
    const values = Array.from({ length: n }, (_, i) => seeded(seedOf(5, 'wafer', `W${i}`)).normal())
    const mean = values.reduce((a, b) => a + b) / n
    const variance = values.reduce((a, b) => a + (b - mean) ** 2, 0) / (n - 1)
    expect(Math.abs(mean)).toBeLessThan(4.5 / Math.sqrt(n))
    expect(Math.abs(variance - 1)).toBeLessThan(4.5 * Math.sqrt(2 / n))
  })
})
