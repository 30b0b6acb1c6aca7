import { describe, expect, test } from 'vitest'
import { fitMixed } from '../../../shared/model/mixed.ts'
import type { Table } from '../../../shared/model/table.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

// Expected values from strata-lack-of-fit.R beside this file: analyses of variance with an error for each stratum.
function strataOf(table: Table, model: string, random: string) {
  const answer = fitMixed({ table, model, random })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value.report().lackOfFitByStratum ?? []
}

const untested = { f: null, p: null, denominatorDf: null }

test('oats (Yates, 1935): nitrogen as a straight line, inside plots', () => {
  const table = dataTable('oats_split_plot.csv')
  const [block, plot, rest] = strataOf(table, 'yield ~ variety + nitro', 'block/variety')
  expect(block).toEqual({ stratum: 'block', df: 0, pureErrorDf: 5, ...untested })
  // Variety has a mean for each of its levels already.
  expect(plot).toEqual({ stratum: 'block/variety', df: 0, pureErrorDf: 10, ...untested })
  expect(rest).toMatchObject({ stratum: 'residual', df: 8, pureErrorDf: 45, denominatorDf: 45 })
  closeTo(rest?.f, 0.5688352941176, 1e-10)
  closeTo(rest?.p, 0.7976506681244, 1e-10)
})

describe('twelve plate visits at three temperatures, each with three speeds twice', () => {
  const visit = Array.from({ length: 72 }, (_, i) => Math.floor(i / 6) + 1)
  const temperatures = [90, 110, 100, 100, 90, 110, 110, 90, 100, 90, 100, 110]
  const bake = visit.map((v) => temperatures[v - 1] as number)
  const speed = visit.map((_, i) => 2 + (i % 3))
  const y = visit.map(
    (v, i) =>
      5000 -
      7 * bake[i]! -
      (bake[i] === 100 ? 3 : 0) -
      40 * speed[i]! +
      (speed[i] === 3 ? 2 : 0) +
      ((v * 29) % 23) / 2 +
      (((i + 1) * 37) % 41) / 10,
  )
  const columns = [
    { name: 'visit', values: visit.map((v) => `v${v}`) },
    { name: 'bake', values: bake },
    { name: 'speed', values: speed },
    { name: 'y', values: y },
  ]
  const table = { columns, rows: 72 }

  test('balanced: the temperatures between visits, the speeds inside them', () => {
    const [between, inside] = strataOf(table, 'y ~ bake*speed', 'visit')
    expect(between).toMatchObject({ stratum: 'visit', df: 1, pureErrorDf: 9 })
    closeTo(between?.f, 0.5433112859994, 1e-8)
    closeTo(between?.p, 0.4798372195688, 1e-8)
    closeTo(between?.denominatorDf, 9, 1e-8)
    expect(inside).toMatchObject({ stratum: 'residual', df: 4, pureErrorDf: 54 })
    closeTo(inside?.f, 10.66206858604, 1e-9)
    closeTo(inside?.p, 1.929585231753e-6, 1e-8)
  })

  test('unbalanced: inside visits still as with visits as fixed effects', () => {
    const out = [2, 3, 11, 17, 18, 25, 30, 31, 40, 44, 45, 59, 60, 66, 71]
    const rows = Array.from({ length: 72 }, (_, i) => i).filter((i) => !out.includes(i + 1))
    const fewer = {
      rows: rows.length,
      columns: columns.map(({ name, values }) => ({ name, values: rows.map((i) => values[i] ?? null) })),
    }
    const [between, inside] = strataOf(fewer, 'y ~ bake*speed', 'visit')
    expect(inside).toMatchObject({ stratum: 'residual', df: 4, pureErrorDf: 39 })
    closeTo(inside?.f, 6.819067595528, 1e-9)
    closeTo(inside?.p, 2.915677770666e-4, 1e-8)
    expect(between).toMatchObject({ df: 1, pureErrorDf: 9 })
    expect(between?.denominatorDf).toBeGreaterThan(8)
    expect(between?.denominatorDf).toBeLessThan(11)
  })

  test('what the model misses is said, by stratum', () => {
    const bent = columns.map((column) =>
      column.name === 'y'
        ? { ...column, values: y.map((value, i) => value + (bake[i] === 100 ? 30 : 0)) }
        : column,
    )
    const answer = fitMixed({
      table: { columns: bent, rows: 72 },
      model: 'y ~ bake + speed',
      random: 'visit',
    })
    const messages = answer.ok
      ? answer.value
          .report()
          .problems.filter(({ code }) => code === 'lackOfFit')
          .map(({ message }) => message)
      : []
    expect(messages).toHaveLength(2)
    expect(messages[0]).toMatch(/^Between visits the model misses .* F\(1, 9\)/)
    expect(messages[1]).toMatch(/^Inside the groups the model misses .* F\(5, 54\)/)
  })

  test('without visits at equal temperatures there is no pure error between them', () => {
    const rows = Array.from({ length: 18 }, (_, i) => i)
    const one = (name: string, values: (number | string)[]) => ({ name, values })
    const few = {
      rows: 18,
      columns: [
        one(
          'visit',
          rows.map((i) => `v${Math.floor(i / 3)}`),
        ),
        one(
          'bake',
          rows.map((i) => 90 + 4 * Math.floor(i / 3)),
        ),
        one(
          'speed',
          rows.map((i) => 2 + (i % 3)),
        ),
        one(
          'y',
          rows.map((i) => 5 + Math.floor(i / 3) ** 2 + (i % 3) + ((i * 7) % 5) / 10),
        ),
      ],
    }
    const [between, inside] = strataOf(few, 'y ~ bake + speed', 'visit')
    expect(between).toEqual({ stratum: 'visit', df: 4, pureErrorDf: 0, ...untested })
    expect(inside).toEqual({ stratum: 'residual', df: 11, pureErrorDf: 0, ...untested })
  })
})
