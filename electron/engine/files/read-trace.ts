import type { TracePoint } from '../../../shared/film/step-height.ts'
import { fileLimits } from '../../../shared/limits.ts'
import { type DecimalSign, parseNumber } from '../../../shared/numbers.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { textOfBytes } from '../../../shared/text-of-bytes.ts'
import { splitHeader, type ThicknessUnit, thicknessUnitOf, toNanometres } from '../../../shared/units.ts'
import { isFailedPoint } from './csv.ts'
import { decimalSigns } from './decimal-sign.ts'
import { beyondLines, tooLong } from './file-limits.ts'
import { type Block, type BlockRow, blockOf } from './number-block.ts'

export type PositionUnit = ThicknessUnit | 'mm'

/** A trace as a file gives it: points in µm and nm, the units that the file is in, and what was left aside. */
export type ReadTrace = {
  points: TracePoint[]
  /** The row of the file that each point stands in, as a spreadsheet counts. */
  rows: number[]
  positionUnit: PositionUnit
  heightUnit: ThicknessUnit
  notes: Problem[]
}

export type TraceFileOptions = {
  decimal?: DecimalSign | undefined
  /** Where the file names none, or a wrong one. */
  positionUnit?: PositionUnit | undefined
  heightUnit?: ThicknessUnit | undefined
}

const words = {
  position: /^(position|lateral|distance|x|scan|length|way|weg)\b/i,
  height: /^(height|profile|z|total|raw|level(l?ed)?|depth|höhe|tiefe|thickness)\b/i,
}

/**
 * Reads a profilometer trace: two columns of numbers with any lines above them. Delimiter, decimal sign and encoding
 * are recognized; the columns by their names where the line above the numbers gives them, otherwise the first two;
 * units from the names in brackets, or from a line of units alone. Without units positions are taken as µm, heights
 * as nm, and a note says so. Failed points are left out.
 */
export function readTrace(source: string | Uint8Array, options: TraceFileOptions = {}): Answer<ReadTrace> {
  const long = tooLong(source, fileLimits.trace.characters)
  if (long) return long
  const text = (typeof source === 'string' ? source : textOfBytes(source)).replace(/^\uFEFF/, '')
  if (text.trim() === '') return refuse('emptyFile', 'The file is empty.')
  if (text.includes('\0')) return refuse('notText', 'This is no text file.')
  const lines = beyondLines(text)
  if (lines) return { ok: false, problems: [lines] }
  const block = blockOf(text)
  if (!block) return refuse('unknownColumn', 'A trace needs two columns of numbers: position and height.')
  if (block.rows.length > fileLimits.trace.points)
    return refuse(
      'traceTooLong',
      `The trace has ${block.rows.length} points; at most ${fileLimits.trace.points} are read. Thin it out first.`,
    )
  const named = namesOf(block)
  const at = columnsOf(named.names)
  const signs = decimalSigns(
    at.map((column) => ({
      header: named.names[column]?.name ?? `column ${column + 1}`,
      cells: block.rows.map(({ row, cells }) => ({ row, text: cells[column] ?? '' })),
      isText: false,
    })),
    { delimiter: block.delimiter, decimal: options.decimal },
  )
  const problems: Problem[] = signs.columns.flatMap(({ doubt }) => (doubt ? [doubt] : []))
  const column = (k: 0 | 1) =>
    numbersOf(block.rows, at[k], { decimal: signs.columns[k]?.decimal ?? 'point', problems })
  const [along, up] = [column(0), column(1)]
  const all = [...problems, ...block.strays]
  if (all.length > 0) return { ok: false, problems: all }

  const written = at.map((place) => named.names[place]?.unit ?? '')
  const positionUnit = options.positionUnit ?? positionUnitOf(written[0] ?? '')
  const heightUnit = options.heightUnit ?? thicknessUnitOf(written[1] ?? '')
  const notes: Problem[] = named.aside.map(({ row, cells }) => ({
    code: 'aboveTable',
    message: `Row ${row} stands beside the numbers: ${cells.filter((cell) => cell !== '').join(' ')}`,
    row,
  }))
  if (positionUnit === null || heightUnit === null)
    notes.push({
      code: 'unitAssumed',
      message: `The file names no unit of ${positionUnit === null ? 'position; µm' : 'height; nm'} was taken.`,
    })
  const units = { positionUnit: positionUnit ?? 'µm', heightUnit: heightUnit ?? 'nm' } as const
  const points: TracePoint[] = []
  const rows: number[] = []
  along.forEach((position, i) => {
    const height = up[i] ?? null
    if (position === null || height === null) return
    points.push({
      position: inMicrometres(position, units.positionUnit),
      height: toNanometres(height, units.heightUnit),
    })
    rows.push((block.rows[i] as BlockRow).row)
  })
  return good({ points, rows, ...units, notes })
}

const inMicrometres = (value: number, unit: PositionUnit) =>
  unit === 'µm' ? value : unit === 'mm' ? value * 1000 : toNanometres(value, unit) / 1000

const positionUnitOf = (written: string): PositionUnit | null =>
  written.trim() === 'mm' ? 'mm' : thicknessUnitOf(written)

type Name = { name: string; unit: string | null }

/** The names of the columns from the line above the numbers, and their units from it or from a line of units. */
function namesOf({ above, below }: Block): { names: Name[]; aside: BlockRow[] } {
  const nearest = above.at(-1)
  const isUnits = (row: BlockRow | undefined) =>
    row !== undefined &&
    row.cells.filter((cell) => cell !== '').length >= 2 &&
    row.cells.every((cell) => cell === '' || positionUnitOf(cell.replace(/^[[(]|[\])]$/g, '')) !== null)
  const units = isUnits(nearest) ? nearest : undefined
  const heads = units ? above.at(-2) : nearest
  const isHead = heads !== undefined && heads.cells.length >= 2
  const count = Math.max(units?.cells.length ?? 0, isHead ? heads.cells.length : 0)
  const names = Array.from({ length: count }, (_, i) => {
    const split = splitHeader((isHead ? heads.cells[i] : undefined) ?? `column ${i + 1}`)
    // Such as ‘Lateral um’.
    const trailing = split.name.split(/\s+/)
    const last = trailing.pop() as string
    const named =
      split.unit === null && trailing.length > 0 && positionUnitOf(last) !== null
        ? { name: trailing.join(' '), unit: last }
        : split
    const unit = units?.cells[i]?.replace(/^[[(]|[\])]$/g, '') ?? named.unit
    return { name: named.name, unit }
  })
  const used = new Set([units, isHead ? heads : undefined])
  return { names, aside: [...above, ...below].filter((row) => !used.has(row)) }
}

function columnsOf(names: readonly Name[]): [number, number] {
  const position = names.findIndex(({ name }) => words.position.test(name))
  const height = names.findIndex(({ name }, i) => i !== position && words.height.test(name))
  if (position >= 0 && height >= 0) return [position, height]
  if (position > 0) return [position, 0]
  return height === 0 ? [1, 0] : [0, Math.max(1, height)]
}

function numbersOf(
  rows: readonly BlockRow[],
  column: number,
  { decimal, problems }: { decimal: DecimalSign; problems: Problem[] },
): (number | null)[] {
  return rows.map(({ row, cells }) => {
    const cell = cells[column] ?? ''
    if (cell === '' || isFailedPoint(cell)) return null
    const number = parseNumber(cell, { decimal })
    if (number.ok) return number.value
    problems.push({ code: 'notANumber', message: `Row ${row}: ${number.problems[0]?.message}`, row })
    return null
  })
}
