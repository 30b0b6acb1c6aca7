import { meanOf, squaresAbout } from '../means.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { grouped } from './grouped.ts'
import type { MeanSquare } from './variance-interval.ts'

/** A reading of a gauge study. Readings of one wafer by one operator with the same reload are of one loading. */
export type StudyReading = { wafer: string; operator: string; reload: string; value: number }

/**
 * Mean squares of means, each of the level below unweighted, and what the expectations share. With σs², σl², σc², σo²
 * and σw² for scans, loadings, wafers by operators, operators and wafers:
 *
 *     scans           σs²
 *     loadings        σl² + a σs²
 *     waferOperator   σc² + b σl² + c σs²
 *     operators       σo² + (σc² + b σl² + c σs²) / W
 *     wafers          σw² + (σc² + b σl² + c σs²) / O
 *
 * exactly, whatever is missing; where all is there these are the mean squares of the usual analysis of variance over the
 * number of readings in each mean. (Unweighted means, Burdick & Graybill, Confidence Intervals on Variance
 * Components, 1992, section 6.)
 */
export type StudyMeanSquares = {
  mean: number
  wafers: string[]
  operators: string[]
  loadings: number
  scans: MeanSquare | null
  ofLoadings: MeanSquare | null
  waferOperator: MeanSquare | null
  ofOperators: MeanSquare | null
  ofWafers: MeanSquare | null
  a: number
  b: number
  c: number
  /** Wafers that not every operator has read: they tell of scans and loadings only. */
  incomplete: string[]
}

type Loading = { mean: number; n: number }
type Cell = { mean: number; loadings: Loading[] }

/** The mean squares of a study as far as it has come; null where nothing tells one from the other. */
export function studyMeanSquares(readings: readonly StudyReading[]): Answer<StudyMeanSquares> {
  if (readings.length === 0) return refuse('noReadings', 'There is no reading yet.')
  const wafers = distinct(readings.map(({ wafer }) => wafer))
  const operators = distinct(readings.map(({ operator }) => operator))
  const scans = { squares: 0, df: 0 }
  const cellAt = new Map<string, Cell>()
  for (const [place, own] of grouped(readings, ({ wafer, operator }) => JSON.stringify([wafer, operator]))) {
    const loadings = [...grouped(own, ({ reload }) => reload).values()].map((loading): Loading => {
      const values = loading.map(({ value }) => value)
      const mean = meanOf(values)
      scans.squares += squaresAbout(mean, values)
      scans.df += values.length - 1
      return { mean, n: values.length }
    })
    cellAt.set(place, { mean: meanOf(loadings.map(({ mean }) => mean)), loadings })
  }
  const cells = [...cellAt.values()]
  const loaded = loadingsOf(cells)
  const row = (wafer: string) => operators.map((operator) => cellAt.get(JSON.stringify([wafer, operator])))
  const complete = wafers.filter((wafer) => row(wafer).every((cell) => cell !== undefined))
  const table = complete.map((wafer) => row(wafer) as Cell[])
  return good({
    mean: meanOf(readings.map(({ value }) => value)),
    wafers,
    operators,
    loadings: cells.reduce((sum, cell) => sum + cell.loadings.length, 0),
    scans: meanSquare(scans.squares, scans.df),
    ...loaded,
    ...betweenCells(table),
    incomplete: wafers.filter((wafer) => !complete.includes(wafer)),
  })
}

/** Loadings within wafers and operators, with what of the scans is in them. */
function loadingsOf(cells: readonly Cell[]): Pick<StudyMeanSquares, 'ofLoadings' | 'a'> {
  let squares = 0
  let df = 0
  let share = 0
  for (const { mean, loadings } of cells) {
    squares += squaresAbout(
      mean,
      loadings.map((loading) => loading.mean),
    )
    df += loadings.length - 1
    share += (1 - 1 / loadings.length) * loadings.reduce((sum, { n }) => sum + 1 / n, 0)
  }
  return { ofLoadings: meanSquare(squares, df), a: df > 0 ? share / df : 0 }
}

type BetweenCells = Pick<StudyMeanSquares, 'waferOperator' | 'ofOperators' | 'ofWafers' | 'b' | 'c'>

/** Wafers, operators and both, from the means of the cells of a full table; a row a wafer. */
function betweenCells(table: readonly Cell[][]): BetweenCells {
  const [W, O] = [table.length, table[0]?.length ?? 0]
  const cells = table.flat()
  const b = meanOf(cells.map(({ loadings }) => 1 / loadings.length))
  const c = meanOf(
    cells.map(({ loadings }) => loadings.reduce((sum, { n }) => sum + 1 / n, 0) / loadings.length ** 2),
  )
  const rows = table.map((row) => meanOf(row.map(({ mean }) => mean)))
  const columns = (table[0] ?? []).map((_, o) => meanOf(table.map((row) => row[o]?.mean ?? 0)))
  const mean = meanOf(rows)
  const both = table.reduce(
    (sum, row, w) =>
      sum +
      row.reduce((part, cell, o) => part + (cell.mean - (rows[w] ?? 0) - (columns[o] ?? 0) + mean) ** 2, 0),
    0,
  )
  return {
    waferOperator: O > 1 ? meanSquare(both, (W - 1) * (O - 1)) : null,
    ofOperators: O > 1 ? meanSquare(squaresAbout(mean, columns), O - 1) : null,
    ofWafers: meanSquare(squaresAbout(mean, rows), W - 1),
    b: cells.length > 0 ? b : 0,
    c: cells.length > 0 ? c : 0,
  }
}

const meanSquare = (squares: number, df: number) => (df > 0 ? { value: squares / df, df } : null)
const distinct = (names: readonly string[]) => [...new Set(names)]
