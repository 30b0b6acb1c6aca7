import fc from 'fast-check'
import { expect, test } from 'vitest'
import { testEngine } from '../engine/engine-in-folder.ts'
import { plannedStudy } from '../engine/studies-for-tests.ts'

const pieces = [
  'run',
  'W01',
  'W02',
  'site',
  'x',
  'y',
  'x_mm',
  'speed',
  'thickness',
  'thickness (µm)',
  'mean',
  'NaN',
  '---',
]
const marks = [
  ',',
  ';',
  '\t',
  '\n',
  '\r\n',
  '"',
  "'",
  '=',
  '-1',
  '0',
  '1',
  '2.5',
  '1,5',
  '1.234',
  '1e999',
  ' ',
  '\uFEFF',
  '\0',
]

test('whatever is in a file, the preview answers, and the commit refuses just what the preview does', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const file = fc
    .array(fc.constantFrom(...pieces, ...marks), { maxLength: 60 })
    .map((parts) => parts.join(''))
  const grid = fc
    .tuple(
      fc.constantFrom(',', ';', '\t'),
      fc.array(
        fc.array(fc.constantFrom(...pieces, '0', '-1', '1500', '2,5'), { minLength: 2, maxLength: 5 }),
        { minLength: 1, maxLength: 6 },
      ),
    )
    .map(([delimiter, rows]) => rows.map((row) => row.join(delimiter)).join('\n'))
  await fc.assert(
    fc.asyncProperty(fc.oneof(file, grid, fc.string()), async (text) => {
      const source = { studyId, fileName: 'odd.csv', text }
      const preview = await engine.ok('imports.preview', source)
      const commit = await engine.engine.call('imports.commit', source)
      expect(commit.ok).toBe(preview.problems.length === 0)
      if (!commit.ok) expect(commit.problems).toEqual(preview.problems)
      else await engine.ok('history.undo', { studyId })
    }),
    { numRuns: 150 },
  )
  expect(await engine.ok('bench.runs', { studyId })).toHaveLength(18)
})

test('columns of an earlier preview that the file no longer has are left aside', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const columns = [{ column: 'gone', means: 'run' as const, name: '', unit: '' }]
  const preview = await engine.ok('imports.preview', {
    studyId,
    fileName: 'a.csv',
    text: 'a,b\n1,2\n',
    columns,
  })
  expect(preview.columns.map(({ means }) => means)).toEqual(['ignored', 'ignored'])
  expect(preview.problems).toMatchObject([{ code: 'nothingMeant' }])
})
