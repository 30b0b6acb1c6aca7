import { describe, expect, test } from 'vitest'
import { compareModels } from '../../../shared/model/compare-models.ts'
import type { Table } from '../../../shared/model/table.ts'

type Values = (number | string | null)[]
const table = (columns: Record<string, Values>): Table => ({
  columns: Object.entries(columns).map(([name, values]) => ({ name, values })),
  rows: Object.values(columns)[0]?.length ?? 0,
})
const speed = [2000, 2000, 3000, 3000, 4000, 4000, 5000, 5000]
const spin = table({
  speed,
  thickness: [1837, 1841, 1500, 1497, 1298, 1301, 1160, 1163],
  lot: ['A', 'A', 'A', 'A', 'A', 'A', 'B', 'B'],
  visit: ['1', '2', '1', '2', '1', '2', '3', '3'],
  other: [1, 2, 3, 4, 5, 6, 7, 8],
})
const compared = (models: string[], more: { on?: Table; group?: string; weights?: string } = {}) => {
  const { on = spin, ...options } = more
  const answer = compareModels({ table: on, models, ...options })
  if (!answer.ok) throw new Error(answer.problems.map(({ message }) => message).join('\n'))
  return answer.value
}
const line = 'log(thickness) ~ log(speed)'
const bent = `${line} + log(speed)^2`

describe('what the runs cannot tell between models', () => {
  test('models within 2 of the lowest AICc are named together, those beyond are not', () => {
    const { models, cannotTell } = compared([line, bent, 'thickness ~ speed'])
    const near = models.filter(({ aiccAbove }) => (aiccAbove as number) <= 2).map(({ model }) => model)
    const said = cannotTell.filter((words) => words.includes('apart'))
    expect(said).toHaveLength(near.length > 1 ? 1 : 0)
    expect(models[2]?.aiccAbove).toBeGreaterThan(2)
    const twins = compared([line, 'log10(thickness) ~ log10(speed)']).cannotTell
    expect(twins[0]).toContain(`${line} and log10(thickness) ~ log10(speed) apart`)
  })

  test('too few runs for an AICc', () => {
    const few = table({ speed: [1, 2, 3, 4], thickness: [4, 3, 2.5, 2] })
    const { models, cannotTell } = compared(['thickness ~ speed', 'thickness ~ 1'], { on: few })
    expect(models.map(({ aicc }) => aicc === null)).toEqual([true, false])
    expect(cannotTell.join(' ')).toContain('too few runs for an AICc of thickness ~ speed:')
  })

  test('a model with more terms than runs is not in the table', () => {
    const few = table({ speed: [1, 2, 3, 4], thickness: [4, 3, 2.5, 2] })
    const wide = 'thickness ~ speed + speed^2 + speed^3 + speed^4'
    const { models, cannotTell } = compared(['thickness ~ 1', wide], { on: few })
    expect(models).toHaveLength(1)
    expect(cannotTell.join(' ')).toContain(`${wide} has more terms than there are runs`)
    expect(compareModels({ table: few, models: [wide] })).toMatchObject({
      ok: false,
      problems: [{ code: 'fewerRunsThanTerms' }],
    })
  })

  test('a level that stands in one group only has no left-out prediction', () => {
    const { models, cannotTell } = compared([line, `${line} + lot`], { group: 'visit' })
    expect(models.map(({ predictionError }) => predictionError === null)).toEqual([false, true])
    expect(cannotTell.join(' ')).toContain(
      'without the visit of row 8 and row 9 the term lot[B] cannot be estimated',
    )
  })

  test('one group alone says nothing of another', () => {
    const same = table({ speed, thickness: spin.columns[1]?.values ?? [], visit: speed.map(() => '1') })
    const { models, cannotTell } = compared([line], { on: same, group: 'visit' })
    expect(models[0]?.predictionError).toBeNull()
    expect(cannotTell.join(' ')).toContain('All runs are of one visit')
  })

  test('a run that alone carries a term is named', () => {
    const lone = table({
      speed: [1, 2, 3, 4, 5, 6],
      thickness: [9, 7, 6, 5, 4.4, 4],
      lot: ['A', 'A', 'A', 'A', 'A', 'B'],
    })
    const { models, cannotTell } = compared(['thickness ~ speed + lot'], { on: lone })
    expect(models[0]?.predictionError).toBeNull()
    expect(cannotTell.join(' ')).toContain('without row 7')
  })

  test('lack of fit is judged by repeats only', () => {
    const repeated = compared([line])
    expect(repeated.models[0]?.lackOfFit).toMatchObject({ df: 2, pureErrorDf: 4 })
    expect(repeated.cannotTell.join(' ')).not.toContain('cannot be judged')
    const { models, cannotTell } = compared(['thickness ~ other'])
    expect(models[0]?.lackOfFit).toBeNull()
    expect(cannotTell.join(' ')).toContain('Lack of fit cannot be judged of any of the models')
  })

  test('every model that repeats contradict is said to be so', () => {
    const { models, cannotTell } = compared(['thickness ~ speed'])
    expect(models[0]?.lackOfFit?.p).toBeLessThan(0.05)
    expect(cannotTell.join(' ')).toContain('Repeated runs contradict every model')
  })
})

describe('the same rows', () => {
  const gap = table({
    speed,
    thickness: spin.columns[1]?.values ?? [],
    time: [30, 40, null, 40, 30, 40, 30, 40],
  })

  test('a row that one model cannot use is left out of all, and named', () => {
    const { models, problems } = compared([line, `${line} + time`], { on: gap })
    expect(models.map(({ n }) => n)).toEqual([7, 7])
    expect(problems).toMatchObject([{ code: 'missingCell', row: 4, column: 'time' }])
    expect(compared([line], { on: gap }).models[0]?.n).toBe(8)
  })

  test('a row of no group is left out where groups are', () => {
    const some = table({
      speed,
      thickness: spin.columns[1]?.values ?? [],
      visit: ['1', '1', '2', '2', '1', '2', '1', null],
    })
    expect(compared([line], { on: some, group: 'visit' }).models[0]?.n).toBe(7)
  })

  test('a model given twice stands once', () => {
    expect(compared([line, 'log(thickness) ~ 1 + log(speed)']).models).toHaveLength(1)
  })
})

test.each([
  [['log(thickness) ~ speed', 'other ~ speed'], 'otherResponse'],
  [['thickness ~ humidity'], 'unknownColumn'],
  [['thickness ~ (speed'], 'formula'],
  [['speed + lot'], 'formula'],
])('%j is refused: %s', (models, code) => {
  expect(compareModels({ table: spin, models })).toMatchObject({ ok: false, problems: [{ code }] })
})
