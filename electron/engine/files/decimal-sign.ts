import type { DecimalSign } from '../../../shared/numbers.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { Delimiter } from './records.ts'

type Cell = { row: number; text: string }
/** A column as the search for its sign sees it; one of texts is no evidence for the others. */
export type SignColumn = { header: string; cells: Cell[]; isText: boolean }
/** The sign of a column, and the question that has to be answered before it is taken for numbers. */
export type ColumnSign = { decimal: DecimalSign; doubt: Problem | null }

/** One sign, with three digits behind it and one to three before: 1.234 may be meant as 1234. */
const doubtful = /^[+\-\u2212]?[1-9]\d{0,2}[.,]\d{3}$/
const withSign = /^[+\-\u2212]?(?:\d+([.,])\d*|([.,])\d+)(?:e[+-]?\d+)?$/i

/**
 * Settles the decimal sign of each column. A number that can only be meant one way (12.5, 0,914) settles its
 * column; such columns settle those that hold only doubtful numbers (1.234) with the same sign; and in a file
 * delimited by commas a point is the decimal sign, since people who write points between thousands write decimal
 * commas, and their files are delimited by semicolons. What nothing settles is asked about, by column, and never
 * guessed.
 */
export function decimalSigns(
  columns: readonly SignColumn[],
  options: { delimiter: Delimiter; decimal?: DecimalSign | undefined },
): { decimal: DecimalSign; columns: ColumnSign[] } {
  const given = options.decimal
  if (given) return { decimal: given, columns: columns.map(() => ({ decimal: given, doubt: null })) }
  const seen = columns.map(signsOf)
  const counts = { comma: 0, point: 0 }
  seen.forEach((signs, i) => {
    const firm = firmSign(signs)
    if (firm && !columns[i]?.isText) counts[firm]++
  })
  const settled = new Set<DecimalSign>()
  if (counts.comma > 0) settled.add('comma')
  if (counts.point > 0 || options.delimiter === ',') settled.add('point')
  const one = settled.size === 1 ? [...settled][0] : undefined
  const signs = seen.map((found, i): ColumnSign => {
    const { header } = columns[i] as SignColumn
    const firm = firmSign(found)
    if (firm) return { decimal: firm, doubt: mixedSigns(header, found) }
    const [first] = found.doubtful
    if (!first) return { decimal: one ?? 'point', doubt: null }
    const same = found.doubtful.every(({ sign }) => sign === first.sign)
    const between = options.delimiter === ',' && first.sign === 'point'
    const clear = same && (first.sign === one || between)
    return { decimal: first.sign, doubt: clear ? null : question(header, first) }
  })
  return { decimal: counts.comma > counts.point ? 'comma' : 'point', columns: signs }
}

type Signs = {
  comma: Cell | undefined
  point: Cell | undefined
  doubtful: (Cell & { sign: DecimalSign })[]
}

function signsOf({ cells }: SignColumn): Signs {
  const signs: Signs = { comma: undefined, point: undefined, doubtful: [] }
  for (const cell of cells) {
    const text = cell.text.trim()
    const found = withSign.exec(text)
    const written = found?.[1] ?? found?.[2]
    if (!written) continue
    const sign = written === ',' ? 'comma' : 'point'
    if (doubtful.test(text)) signs.doubtful.push({ row: cell.row, text, sign })
    else signs[sign] ??= { row: cell.row, text }
  }
  return signs
}

function firmSign(signs: Signs): DecimalSign | null {
  if (signs.comma) return 'comma'
  return signs.point ? 'point' : null
}

function question(header: string, { row, text }: Cell): Problem {
  return {
    code: 'ambiguousDecimal',
    message:
      `Column ‘${header}’: ‘${text}’ in row ${row} may be ${text.replace(/[.,]/, '')} or ` +
      `${text.replace(',', '.')}. Say whether the file has a decimal comma or a decimal point.`,
    row,
    column: header,
  }
}

function mixedSigns(header: string, { comma, point }: Signs): Problem | null {
  if (!comma || !point) return null
  return {
    code: 'mixedDecimal',
    message:
      `Column ‘${header}’ has both a decimal comma (‘${comma.text}’, row ${comma.row}) and a decimal ` +
      `point (‘${point.text}’, row ${point.row}). Write all of them one way.`,
    row: Math.max(comma.row, point.row),
    column: header,
  }
}
