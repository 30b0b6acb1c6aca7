import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { main } from '../../../electron/cli/main.ts'
import { readStudy } from '../../../electron/engine/compute/study-file.ts'
import { unpackPoints } from '../../../electron/engine/compute/traces.ts'
import { readCsv, tableFromCsv } from '../../../electron/engine/files/csv.ts'
import { readTrace } from '../../../electron/engine/files/read-trace.ts'
import { lookInside } from '../../../electron/engine/store/look-inside.ts'
import { openStore } from '../../../electron/engine/store/open.ts'
import { verifyFile } from '../../../electron/engine/store/verify.ts'
import { decimalRest } from '../../../shared/decimal-rest.ts'
import { parseForbidden } from '../../../shared/design/forbid.ts'
import { parseGenerators } from '../../../shared/design/generators.ts'
import { stepHeight } from '../../../shared/film/step-height.ts'
import { parseEquation } from '../../../shared/model/arithmetic.ts'
import { fitEquation } from '../../../shared/model/equation.ts'
import { fitModel } from '../../../shared/model/fit.ts'
import { parseFormula } from '../../../shared/model/formula.ts'
import type { Table } from '../../../shared/model/table.ts'
import { hasThousandsSigns, parseNumber } from '../../../shared/numbers.ts'
import { type Answer, good, type Problem } from '../../../shared/problem.ts'
import { findCode, readCode } from '../../../shared/process/check-letter.ts'
import { chosenCodes } from '../../../shared/process/chosen-codes.ts'
import { parseThickness, splitHeader, withoutUnit } from '../../../shared/units.ts'
import { continuous } from '../../unit/design/examples.ts'

/** A table to put what was read to use: seven runs in two columns. */
const runs: Table = {
  columns: [
    { name: 'speed', values: [1000, 1500, 2000, 2500, 3000, 4000, 5000] },
    { name: 'thickness', values: [1510, 1230, 1070, 950, 870, 760, 670] },
  ],
  rows: 7,
}

/** Gives the bytes as a file of its own, gone afterwards. */
async function asFile<T>(
  bytes: Uint8Array,
  name: string,
  read: (file: string) => T | Promise<T>,
): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfilm-hostile-'))
  try {
    const file = join(folder, name)
    writeFileSync(file, bytes)
    return await read(file)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

const text = (bytes: Uint8Array) => Buffer.from(bytes).toString('utf8')

/** Numbers that a reader gave, whatever stands around them. */
function numbersIn(value: unknown): number[] {
  if (typeof value === 'number') return [value]
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(numbersIn) : []
}

const finite = (answer: Answer<unknown>): Answer<unknown> => {
  if (answer.ok && numbersIn(answer.value).some((number) => !Number.isFinite(number)))
    throw new Error('a number that is none was answered')
  return answer
}

/** Everything that reads what others have written, by name: bytes in, an answer out. */
export const readers: Record<string, (bytes: Uint8Array) => Answer<unknown> | Promise<Answer<unknown>>> = {
  table(bytes) {
    const read = readCsv(bytes)
    return read.ok ? finite(good(tableFromCsv(read.value))) : read
  },
  trace(bytes) {
    const read = readTrace(bytes)
    return read.ok ? finite(stepHeight(read.value.points)) : read
  },
  points: unpackPoints,
  formula(bytes) {
    const formula = parseFormula(text(bytes))
    if (!formula.ok) return formula
    const { response, terms } = formula.value
    const fitted = response && terms.length < 30 ? fitModel({ table: runs, model: text(bytes) }) : good(null)
    return fitted.ok ? good(null) : fitted
  },
  equation(bytes) {
    const equation = parseEquation(text(bytes))
    if (!equation.ok) return equation
    const fitted = fitEquation({ table: runs, equation: text(bytes), start: { a: 1, b: 0.5 } })
    return fitted.ok ? good(null) : fitted
  },
  number(bytes) {
    const given = text(bytes)
    hasThousandsSigns(given)
    splitHeader(given)
    withoutUnit(given)
    for (const thousands of ['comma', 'point', 'blank', 'apostrophe'] as const)
      parseNumber(given, { thousands })
    parseThickness(given, { unit: 'nm' })
    const read = parseNumber(given)
    if (read.ok) decimalRest(given, read.value)
    return finite(read)
  },
  forbid: (bytes) =>
    parseForbidden(
      text(bytes),
      ['speed', 'time', 'constructor'].map((name) => continuous(name)),
    ),
  generators: (bytes) => parseGenerators(text(bytes), ['a', 'b', 'c', 'd']),
  codes(bytes) {
    const codes = ['W01', 'W02', 'W10']
    findCode(text(bytes), 'study', codes)
    readCode(text(bytes), 'study', new Set(codes))
    return good(chosenCodes(text(bytes), 'study', codes))
  },
  study: (bytes) => readStudy({ fileName: 'a.evenfilm', bytes: Buffer.from(bytes).toString('base64') }),
  backup: (bytes) => asFile(bytes, 'a.db', lookInside),
  verify: (bytes) => asFile(bytes, 'a.db', verifyFile),
  database: (bytes) =>
    asFile(bytes, 'a.db', (file) => {
      const opened = openStore(file)
      if (!opened.ok) {
        if (!readFileSync(file).equals(bytes)) throw new Error('a file that was refused was changed')
        return opened
      }
      opened.value.db.close()
      return good(opened.value.version)
    }),
  async command(bytes) {
    const args = text(bytes).split('\n')
    const said = { stdout: '', stderr: '' }
    const before = { stdout: process.stdout.write, stderr: process.stderr.write }
    for (const stream of ['stdout', 'stderr'] as const)
      process[stream].write = ((piece: string) => {
        said[stream] += piece
        return true
      }) as typeof process.stdout.write
    try {
      const exit = await main(args)
      if (exit === 70) throw new Error(said.stderr)
      return exit === 0
        ? good(said)
        : { ok: false, problems: [{ code: 'x', message: said.stderr } as Problem] }
    } finally {
      for (const stream of ['stdout', 'stderr'] as const) process[stream].write = before[stream]
    }
  },
}
