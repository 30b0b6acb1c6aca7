import { describe, expect, test } from 'vitest'
import { fitModel } from '../../../shared/model/fit.ts'

const runs = 12
const speed = Array.from({ length: runs }, (_, i) => 2000 + 500 * (i % 3))
const time = Array.from({ length: runs }, (_, i) => (i % 2 === 0 ? 30 : 50))

describe('the test for curvature', () => {
  test('has nothing to say of a column with two levels, which has no square of its own', () => {
    const thickness = time.map((t, i) => 1500 - t + ((i * 7) % 5))
    const columns = [
      { name: 'time', values: time },
      { name: 'thickness', values: thickness },
    ]
    const answer = fitModel({ table: { columns, rows: runs }, model: 'thickness ~ time' })
    expect(answer.ok && answer.value.problems.map(({ code }) => code)).not.toContain('curvature')
  })

  test('adds the squares that the runs can tell, and leaves out the others', () => {
    const thickness = speed.map((n, i) => 1500 + ((n - 2500) / 50) ** 2 + (time[i] as number) + ((i * 7) % 5))
    const columns = [
      { name: 'speed', values: speed },
      { name: 'time', values: time },
      { name: 'thickness', values: thickness },
    ]
    const answer = fitModel({ table: { columns, rows: runs }, model: 'thickness ~ speed + time' })
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    expect(answer.value.problems.find(({ code }) => code === 'curvature')?.message).toMatch(/F\(1, 8\)/)
  })
})
