import { describe, expect, test } from 'vitest'
import { answerOf, data, evenfilm, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

const trees = data('trees.csv')
const models = ['--model', 'Volume ~ Girth + Height', '--model', 'log(Volume) ~ log(Girth) + log(Height)']

describe('several models side by side', () => {
  test('a model of the volume and one of its logarithm compare', async () => {
    const { models: rows, cannotTell } = await answerOf(['fit', trees, ...models], shapes.modelComparison)
    // AIC(lm(log(Volume) ~ log(Girth) + log(Height), trees)) + 2 * sum(log(trees$Volume)) + 2 * 4 * 5 / (31 - 5), R 4.2.2
    expect(rows[1]?.aicc).toBeCloseTo(141.736580136644, 9)
    expect(rows[0]?.aicc).toBeCloseTo(178.448434525732, 9)
    expect(rows.map(({ aiccAbove }) => aiccAbove === 0)).toEqual([false, true])
    expect(rows.map(({ leftOut }) => leftOut)).toEqual(['run', 'run'])
    expect(cannotTell.at(-1)).toContain('need not be a good one')
  })

  test('whole groups are left out by name, and the tables say so', async () => {
    const file = data('oats_split_plot.csv')
    const asked = ['fit', file, '--model', 'yield ~ nitro', '--leave-out', 'block']
    const { models: rows } = await answerOf(asked, shapes.modelComparison)
    // By brute force in R: tests/published/model/compare-models.R.
    expect(rows).toMatchObject([{ leftOut: 'block', n: 72, df: 70 }])
    expect(rows[0]?.predictionError).toBeCloseTo(23.48849363695623, 9)
    const { stdout, exit } = await evenfilm(asked)
    expect(exit).toBe(0)
    expect(stdout).toContain('all runs of one block left out at a time')
    expect(stdout).toMatch(/yield ~ nitro\s+2\s+70\s+650\.66\s+0\.00\s+23\.5/)
  })

  test('a row that one of them cannot use is left out of all, at its row of the file', async () => {
    const lines = ['x,z,y', '', '1,2,3', '2,,5', '3,1,6', '4,2,9', '5,3,9', '6,1,13', '7,2,14']
    const file = fileWith(lines.join('\n'))
    const both = ['fit', file, '--model', 'y ~ x', '--model', 'y ~ x + z']
    const { models: rows, problems } = await answerOf(both, shapes.modelComparison)
    expect(rows.map(({ n }) => n)).toEqual([6, 6])
    expect(problems).toMatchObject([{ code: 'missingCell', row: 4 }])
    expect((await evenfilm(both)).stderr).toContain('Row 4 is left out: its z holds no number.')
  })

  test.each([
    [[...models, '--at', 'Girth=10,Height=70'], 2, 'badOption'],
    [[...models, '--robust', 'huber'], 2, 'badOption'],
    [[...models, '--spin-curve', 'power'], 2, 'badOption'],
    [[...models, '--by', 'Girth'], 2, 'badOption'],
    [['--model', 'Volume ~ Girth', '--model', 'Height ~ Girth'], 2, 'otherResponse'],
    [[...models, '--leave-out', 'forest'], 2, 'unknownColumn'],
    [['--leave-out', 'Height'], 2, 'missingOption'],
  ])('%j ends with %i', async (args, exit, code) => {
    expect(await refusalOf(['fit', trees, ...args])).toMatchObject({ exit, codes: [code] })
  })
})
