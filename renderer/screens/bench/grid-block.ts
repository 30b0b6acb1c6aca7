import { asMeant, neutralized } from '../../../shared/neutral-text.ts'
import { parseNumber } from '../../../shared/numbers.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { readCode } from '../../../shared/process/check-letter.ts'
import { parseThickness, type ThicknessUnit } from '../../../shared/units.ts'
import { blockOf, type Cell, type Selection, type Size } from './grid-selection.ts'
import { words } from './words/grid.ts'

/** A text for a cell, with what it reads as and what is wrong with it. */
export type BlockCell = Cell & { text: string; valueNm: number | null; problem: string | null }

/** The grid as it can be copied: the heads of its rows and columns with the corner between them, and the text of each cell, '' where empty. */
export type Copied = {
  corner: string
  rows: readonly string[]
  columns: readonly string[]
  texts: readonly (readonly string[])[]
}

/** A cell as a spreadsheet may take it: one line, run as no formula. */
const plainCell = (text: string): string => {
  const line = text.replace(/[\t\r\n]+/g, ' ')
  return parseNumber(line).ok ? line : neutralized(line)
}

/** The selected cells as tab-separated text with its heads above and before them. */
export function copiedBlock({ corner, rows, columns, texts }: Copied, selection: Selection): string {
  const { top, bottom, left, right } = blockOf(selection)
  const head = [corner, ...columns.slice(left, right + 1)].map(plainCell).join('\t')
  const lines = rows
    .slice(top, bottom + 1)
    .map((name, i) => [name, ...(texts[top + i] ?? []).slice(left, right + 1)].map(plainCell).join('\t'))
  return `${[head, ...lines].join('\n')}\n`
}

/**
 * A pasted block laid out from a cell on. Heads as the copy writes them are left aside; empty cells leave theirs alone.
 * A single value fills the whole selection.
 */
export function pastedBlock(
  text: string,
  selection: Selection,
  grid: Size & {
    heads: readonly string[]
    names: { rows: string; columns: string }
    studyId: string
    unit: ThicknessUnit
  },
): Answer<BlockCell[]> {
  const pasted = withoutHeads(linesOf(text), grid)
  if ('question' in pasted) return refuse('wrongLetter', words.pasted.wrongLetter(pasted.question))
  const { lines } = pasted
  if (!lines.some((cells) => cells.some((cell) => cell !== '')))
    return refuse('nothingPasted', words.pasted.nothing)
  const { top, left } = blockOf(selection)
  const [only] = lines
  if (lines.length === 1 && only?.length === 1) return good(filled(only[0] as string, selection, grid.unit))
  const width = Math.max(...lines.map((cells) => cells.length))
  if (top + lines.length > grid.rows || left + width > grid.columns)
    return refuse(
      'tooLarge',
      words.pasted.tooLarge(
        { rows: lines.length, columns: width },
        {
          rows: `${grid.rows - top} ${grid.names.rows}`,
          columns: `${grid.columns - left} ${grid.names.columns}`,
        },
      ),
    )
  return good(
    lines.flatMap((cells, i) =>
      cells.flatMap((cell, k) =>
        cell === '' ? [] : [read({ row: top + i, column: left + k }, cell, grid.unit)],
      ),
    ),
  )
}

/** The same text in every selected cell. */
export function filled(text: string, selection: Selection, unit: ThicknessUnit): BlockCell[] {
  const { top, bottom, left, right } = blockOf(selection)
  const cells: BlockCell[] = []
  for (let row = top; row <= bottom; row++)
    for (let column = left; column <= right; column++) cells.push(read({ row, column }, text, unit))
  return cells
}

/** Each column of the selection filled with its topmost text; columns without one are left alone. */
export function filledDown(
  texts: readonly (readonly string[])[],
  selection: Selection,
  unit: ThicknessUnit,
): BlockCell[] {
  const { top, bottom, left, right } = blockOf(selection)
  const cells: BlockCell[] = []
  for (let column = left; column <= right; column++) {
    const text = texts[top]?.[column] ?? ''
    if (text === '') continue
    for (let row = top + 1; row <= bottom; row++) cells.push(read({ row, column }, text, unit))
  }
  return cells
}

/** Whether a block is shown before it is taken: where it changes several rows, or several cells and readings among them. */
export function isLookedAt(cells: readonly BlockCell[], standing: (cell: Cell) => string): boolean {
  if (new Set(cells.map(({ row }) => row)).size > 1) return true
  return cells.length > 1 && cells.some((cell) => !['', cell.text].includes(standing(cell)))
}

function read(cell: Cell, text: string, unit: ThicknessUnit): BlockCell {
  const typed = parseThickness(text, { unit })
  return {
    ...cell,
    text,
    valueNm: typed.ok ? typed.value.valueNm : null,
    problem: typed.ok ? null : (typed.problems[0]?.message ?? null),
  }
}

function linesOf(text: string): string[][] {
  const lines = text.split(/\r\n|\r|\n/).map((line) => line.split('\t').map((cell) => asMeant(cell.trim())))
  while (lines.length > 0 && lines.at(-1)?.every((cell) => cell === '')) lines.pop()
  return lines
}

/**
 * Without a first row of heads (no cell of it starts with a digit or sign) and a first column of heads of rows, be they
 * runs with their check letter or without; what is asked where a letter belongs to another run.
 */
function withoutHeads(
  lines: string[][],
  { heads, studyId }: { heads: readonly string[]; studyId: string },
): { lines: string[][] } | { question: string } {
  const [first] = lines
  const known = new Set(heads)
  const headed = first && lines.length > 1 && first.every((cell) => cell === '' || !/^[-+.,]?\d/.test(cell))
  const rows = headed ? lines.slice(1) : lines
  const read = rows.map((cells) => readCode(cells[0] ?? '', studyId, known))
  const asked = read.find((code) => 'question' in code)
  if (asked) return asked
  const coded =
    rows.length > 0 && rows.every((cells, i) => cells.length > 1 && known.has(codeIn(read[i]) ?? ''))
  return { lines: coded ? rows.map((cells) => cells.slice(1)) : rows }
}

const codeIn = (read: ReturnType<typeof readCode> | undefined) =>
  read && 'code' in read ? read.code : undefined
