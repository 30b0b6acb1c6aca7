import { type Answer, good, type Problem } from '../problem.ts'
import { columnOf, type Expression, evaluate, expressionText } from './expression.ts'
import { columnsOf, type Formula } from './formula.ts'
import { type ResponseScale, responseScale, toModel } from './response.ts'
import { type Column, columnNamed, isCategorical, type Table } from './table.ts'
import type { Levels } from './terms.ts'

/** The rows of a table that a model can use, and what it takes from them. */
export type Frame = {
  scale: ResponseScale
  /** Table rows used, counted from 0. */
  rows: number[]
  /** The model's response, by used row. */
  response: Float64Array
  /** What the response's decimals hold beyond those doubles; 0 where it is transformed. */
  responseRests: Float64Array
  /** 1/variance by used row, or null where all weigh the same. */
  weights: Float64Array | null
  /** Categorical columns of the terms. */
  levels: Levels
  /** Data columns of the terms, each with its unit. */
  columns: Column[]
  /** Rows left out, each named. */
  problems: Problem[]
}

/** The row as a spreadsheet shows it, where the header is row 1. */
export function spreadsheetRow(row: number): number {
  return row + 2
}

/** A row left out, counted from 0; what stands in a cell of numbers may be a mark, such as ‘over’, that is none. */
export function missingCell(row: number, column: Column): Problem {
  const what = isCategorical(column) ? 'is empty' : 'holds no number'
  return {
    code: 'missingCell',
    message: `Row ${spreadsheetRow(row)} is left out: its ${column.name} ${what}.`,
    row: spreadsheetRow(row),
    column: column.name,
  }
}

/**
 * Takes from the table what the formula needs, and the columns `also`. A row with a missing cell, or with weight
 * 0, is left out and named; a column that is not there, a text among numbers that the model computes with, or a function without a
 * value there (log of 0) refuses the whole.
 */
export function frameOf(
  table: Table,
  formula: Formula,
  response: Expression,
  weights?: string,
  also: string[] = [],
): Answer<Frame> {
  const scale = responseScale(response)
  const names = columnsOf(formula.terms)
  const needed = [...new Set([scale.name, ...names, ...(weights === undefined ? [] : [weights]), ...also])]
  const unknown = needed.filter((name) => !columnNamed(table, name))
  if (unknown.length > 0) return { ok: false, problems: unknownColumns(unknown, table) }
  const taken = (name: string) => columnNamed(table, name) as Column
  const columns = names.map(taken)
  const problems: Problem[] = []
  const texts = [scale.name, ...(weights === undefined ? [] : [weights])].flatMap((name) =>
    textCells(taken(name)),
  )
  if (texts.length > 0) return { ok: false, problems: texts }

  const rows: number[] = []
  const cellsNeeded = needed.map(taken)
  const weightCells = weights === undefined ? null : taken(weights).values
  for (let row = 0; row < table.rows; row++) {
    const empty = cellsNeeded.find(({ values }) => values[row] == null)
    if (empty !== undefined) problems.push(missingCell(row, empty))
    else if (weights !== undefined && weightCells?.[row] === 0)
      problems.push({
        code: 'zeroWeight',
        message: `Row ${spreadsheetRow(row)} is left out: its weight is 0.`,
        row: spreadsheetRow(row),
        column: weights,
      })
    else rows.push(row)
  }
  const measured = taken(scale.name)
  const bad = domainProblems(rows, formula, response, taken, weights)
  if (bad.length > 0) return { ok: false, problems: bad }

  // Without a prototype: a column may be called ‘constructor’.
  const levels: Levels = Object.create(null)
  for (const column of columns) {
    if (!isCategorical(column)) continue
    levels[column.name] = [...new Set(rows.map((row) => String(column.values[row])))]
    const mixed = mixedColumn(column)
    if (mixed) problems.push(mixed)
  }
  return good({
    scale,
    rows,
    response: Float64Array.from(rows, (row) => toModel(scale, measured.values[row] as number)),
    responseRests:
      scale.function === 'plain' && measured.rests
        ? Float64Array.from(rows, (row) => measured.rests?.[row] ?? 0)
        : new Float64Array(rows.length),
    weights: weightCells && Float64Array.from(rows, (row) => weightCells[row] as number),
    levels,
    columns,
    problems,
  })
}

function unknownColumns(names: string[], table: Table): Problem[] {
  const known = table.columns.map((column) => column.name).join(', ')
  return names.map((name) => ({
    code: 'unknownColumn',
    message: `There is no column ‘${name}’. There are: ${known}.`,
    column: name,
  }))
}

function textCells(column: Column): Problem[] {
  const row = column.values.findIndex((value) => typeof value === 'string')
  if (row < 0) return []
  return [
    {
      code: 'notANumber',
      message: `Row ${spreadsheetRow(row)}, ${column.name}: ‘${column.values[row]}’ is no number.`,
      row: spreadsheetRow(row),
      column: column.name,
    },
  ]
}

/** A column of texts in which most cells are numbers is more likely one with a slip. */
function mixedColumn(column: Column): Problem | undefined {
  const numbers = column.values.filter((value) => typeof value === 'number').length
  const texts = column.values.filter((value) => typeof value === 'string').length
  if (numbers === 0) return undefined
  const row = column.values.findIndex((value) => typeof value === (texts > numbers ? 'number' : 'string'))
  return {
    code: 'mixedColumn',
    message:
      `${column.name} holds both texts and numbers (row ${spreadsheetRow(row)}: ‘${column.values[row]}’) ` +
      'and is taken as a column of names, each its own level.',
    row: spreadsheetRow(row),
    column: column.name,
  }
}

/** Cells where the response, a part of a term or a weight has no value, row by row. */
function domainProblems(
  rows: number[],
  { terms }: Formula,
  response: Expression,
  taken: (name: string) => Column,
  weights: string | undefined,
): Problem[] {
  const found = new Map<string, Problem & { row: number }>()
  const report = (row: number, code: string, column: string, what: string) => {
    const shown = spreadsheetRow(row)
    const message = `Row ${shown}, ${column}: ${what}`
    found.set(message, { code, message, row: shown, column })
  }
  for (const part of [response, ...terms.flat()]) {
    const { name, values } = taken(columnOf(part))
    for (const row of rows) {
      const value = values[row]
      if (typeof value === 'number' && !Number.isFinite(evaluate(part, value)))
        report(row, 'outsideDomain', name, `${expressionText(part)} has no value at ${value}.`)
    }
  }
  const weightCells = weights === undefined ? null : taken(weights).values
  for (const row of weightCells === null ? [] : rows)
    if (!((weightCells?.[row] as number) > 0))
      report(row, 'negativeWeight', weights ?? '', 'a weight is 1/variance and cannot be negative.')
  return [...found.values()].sort((a, b) => a.row - b.row)
}
