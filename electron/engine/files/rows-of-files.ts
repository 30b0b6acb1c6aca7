import type { Problem } from '../../../shared/problem.ts'

/** Rows of several files are counted on, each file from a number that no single file reaches. */
const perFile = 1_000_000_000

/** A row of one of several files as one number; that of a file alone stays as it is. */
export const countedOn = (row: number, file: number, files: number): number =>
  files > 1 ? (file + 1) * perFile + row : row

/** The file, from 0, that a row counted on is of. */
export const fileOf = (row: number, files: number): number => (files > 1 ? Math.floor(row / perFile) - 1 : 0)

/** Problems in words that name the file, and with the row as the file counts it. */
export function namingFiles(problems: readonly Problem[], fileNames: readonly string[]): Problem[] {
  if (fileNames.length < 2) return [...problems]
  const place = (text: string) => {
    const counted = Number(text)
    return `${counted % perFile} of ‘${fileNames[Math.floor(counted / perFile) - 1]}’`
  }
  return problems.map((problem) => ({
    ...problem,
    message: problem.message.replace(
      /\b([Rr]ows?) (\d{10,})(?: and (\d{10,}))?/g,
      (_, word: string, first: string, second?: string) =>
        `${word} ${place(first)}${second === undefined ? '' : ` and ${place(second)}`}`,
    ),
    ...(problem.row === undefined ? {} : { row: problem.row % perFile }),
  }))
}
