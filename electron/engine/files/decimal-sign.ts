import type { DecimalSign } from '../../../shared/numbers.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { Delimiter } from './records.ts'

type Cell = { row: number; text: string }
export type SignColumn = { header: string; cells: Cell[] }
export type SignDecision = { decimal: DecimalSign; columns: DecimalSign[]; problems: Problem[] }

/** One sign, with three digits behind it and one to three before: 1.234 may be meant as 1234. */
const doubtful = /^[+\-\u2212]?[1-9]\d{0,2}[.,]\d{3}$/
const withSign = /^[+\-\u2212]?\d*([.,])\d*(e[+-]?\d+)?$/i

/**
 * Settles the decimal sign of each column. A number that can only be meant one way (12.5, 0,914) settles its
 * column; such columns settle those that hold only doubtful numbers (1.234); and in a file delimited by commas a
 * point is the decimal sign, since people who write points between thousands write decimal commas, and such
 * files are delimited by semicolons. What nothing settles is asked about, by column, and never guessed.
 */
export function decimalSigns(
  columns: readonly SignColumn[],
  options: { delimiter: Delimiter; decimal?: DecimalSign | undefined },
): SignDecision {
  const given = options.decimal
  if (given) return { decimal: given, columns: columns.map(() => given), problems: [] }
  const seen = columns.map(signsOf)
  const problems = columns.flatMap((column, i) => mixedSigns(column, seen[i] as Signs))
  const settled = new Set(seen.flatMap((signs) => firmSign(signs) ?? []))
  const ofFile: DecimalSign | null =
    settled.size === 1
      ? ([...settled][0] as DecimalSign)
      : settled.size === 0 && options.delimiter === ','
        ? 'point'
        : null

  const decided = seen.map((signs, i): DecimalSign => {
    const firm = firmSign(signs)
    if (firm) return firm
    const first = signs.doubtful[0]
    if (!first) return ofFile ?? 'point'
    // A quoted comma in a file delimited by commas is as doubtful as any.
    const readable =
      ofFile === 'point' && options.delimiter === ',' && settled.size === 0
        ? signs.doubtful.every(({ sign }) => sign === 'point')
        : ofFile !== null
    if (readable) return ofFile as DecimalSign
    problems.push({
      code: 'ambiguousDecimal',
      message:
        `Column ‘${columns[i]?.header}’: ‘${first.text}’ in row ${first.row} may be ` +
        `${first.text.replace(/[.,]/, '')} or ${first.text.replace(',', '.')}. ` +
        'Say whether the file has a decimal comma or a decimal point.',
      row: first.row,
      column: columns[i]?.header ?? '',
    })
    return first.sign
  })
  const commas = decided.filter((sign, i) => sign === 'comma' && (seen[i] as Signs).any)
  const points = decided.filter((sign, i) => sign === 'point' && (seen[i] as Signs).any)
  return { decimal: commas.length > points.length ? 'comma' : 'point', columns: decided, problems }
}

type Signs = {
  comma: Cell | undefined
  point: Cell | undefined
  doubtful: (Cell & { sign: DecimalSign })[]
  any: boolean
}

function signsOf({ cells }: SignColumn): Signs {
  const signs: Signs = { comma: undefined, point: undefined, doubtful: [], any: false }
  for (const cell of cells) {
    const text = cell.text.trim()
    const found = withSign.exec(text)?.[1]
    if (!found) continue
    const sign = found === ',' ? 'comma' : 'point'
    signs.any = true
    if (doubtful.test(text)) signs.doubtful.push({ ...cell, text, sign })
    else signs[sign] ??= cell
  }
  return signs
}

function firmSign(signs: Signs): DecimalSign | null {
  if (signs.comma) return 'comma'
  return signs.point ? 'point' : null
}

function mixedSigns({ header }: SignColumn, { comma, point }: Signs): Problem[] {
  if (!comma || !point) return []
  return [
    {
      code: 'mixedDecimal',
      message:
        `Column ‘${header}’ has both a decimal comma (‘${comma.text.trim()}’, row ${comma.row}) and a decimal ` +
        `point (‘${point.text.trim()}’, row ${point.row}). Write all of them one way.`,
      row: Math.max(comma.row, point.row),
      column: header,
    },
  ]
}
