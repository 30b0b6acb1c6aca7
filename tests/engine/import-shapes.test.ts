import { expect, test } from 'vitest'
import type { Args, Result } from '../../shared/contract.ts'
import { siteMap } from '../../shared/film/site-map.ts'
import { textOfBytes } from '../../shared/text-of-bytes.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

/**
 * Shapes of files that gauges and spreadsheets write, each as it comes, and faults planted in them. The shapes are
 * common practice, of no program in particular.
 */
type Preview = Result<'imports.preview'>
type More = Omit<Args<'imports.preview'>, 'studyId' | 'fileName' | 'text'>

/** An empty study of 100 mm substrates, and its preview of a file. */
async function emptyStudy(engine: TestEngine) {
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Shapes', targetNm: 1500 } })
  const source = (text: string, more: More & { fileName?: string } = {}) => ({
    studyId,
    fileName: 'a.csv',
    text,
    ...more,
  })
  return {
    studyId,
    look: (text: string, more: More & { fileName?: string } = {}): Promise<Preview> =>
      engine.ok('imports.preview', source(text, more)),
    /** Brings it in; the readings in force by run. */
    async take(text: string, more: More & { fileName?: string } = {}) {
      await engine.ok('imports.commit', source(text, more))
      const runs = await engine.ok('bench.runs', { studyId })
      const cards = await Promise.all(runs.map(({ id }) => engine.ok('bench.card', { runId: id })))
      return Object.fromEntries(cards.map(({ run, readings }) => [run.code, readings]))
    },
  }
}
const places = (readings: { xMm: number | null; yMm: number | null; value: number }[] | undefined) =>
  readings?.map(({ xMm, yMm, value }) => [xMm, yMm, value].map((n) => n && Number(n.toFixed(6))))
const codes = (problems: { code: string }[]) => problems.map(({ code }) => code)

test('a key-value block above the table says the run and the lot of its rows; summaries stay out', async () => {
  const { look, take } = await emptyStudy(await testEngine())
  const text = [
    'Operator: N. N.',
    'Wafer: W07',
    'Lot: A',
    '',
    'Point,X (mm),Y (mm),Thickness (nm),GOF',
    '1,0,0,1500.1,0.99',
    '2,22,0,1501.2,0.98',
    'Mean,,,1500.65,',
    'Std Dev,,,0.78,',
    'Min,,,1500.1,',
    'Max,,,1501.2,',
  ].join('\n')
  const preview = await look(text)
  expect(preview).toMatchObject({ shape: 'readings', runs: 1, readings: 2, problems: [] })
  expect(codes(preview.leftAside)).toEqual(['aboveTable', ...Array(4).fill('summaryRow')])
  expect(preview.columns.slice(-2)).toMatchObject([
    { column: 'Wafer:', means: 'run' },
    { column: 'Lot:', means: 'lot' },
  ])
  expect(places((await take(text)).W07)).toEqual([
    [0, 0, 1500.1],
    [22, 0, 1501.2],
  ])
})

test('a file with a block and the header again for each wafer gives each its own readings', async () => {
  const { look, take } = await emptyStudy(await testEngine())
  const block = (wafer: string, first: number) =>
    [
      `Wafer;${wafer}`,
      'site;thickness (nm)',
      `1;${first},5`,
      `2;${first + 1},5`,
      `Mean;${first + 1},0`,
      '',
    ].join('\r\n')
  const text = block('W01', 1500) + block('W02', 1490)
  expect(await look(text)).toMatchObject({
    runs: 2,
    readings: 4,
    decimal: 'comma',
    delimiter: ';',
    problems: [],
  })
  const read = await take(text)
  expect(read.W01?.map(({ value }) => value)).toEqual([1500.5, 1501.5])
  expect(read.W02?.map(({ value }) => value)).toEqual([1490.5, 1491.5])
})

test('one file a wafer: the name of each file says which, by a rule that is shown and can be changed', async () => {
  const engine = await testEngine()
  const { studyId, look } = await emptyStudy(engine)
  const file = (wafer: string, nm: number) => ({
    fileName: `map_${wafer}_day2.txt`,
    text: `site\tthickness\n1\t${nm}\n2\t${nm + 1}\n3\t12..5\n`,
  })
  const [first, second] = [file('W01', 1500), file('W02', 1490)] as const
  const preview = await look(first.text, { fileName: first.fileName, more: [second] })
  expect(preview.options).toMatchObject({ before: 'map_', after: '_day2' })
  expect(preview.files).toEqual([
    { fileName: 'map_W01_day2.txt', run: 'W01', rows: 3 },
    { fileName: 'map_W02_day2.txt', run: 'W02', rows: 3 },
  ])
  // Bad rows bear the name of their file.
  expect(preview.problems.map(({ message }) => message)).toEqual([
    'Row 4 of ‘map_W01_day2.txt’, thickness: ‘12..5’ is no number.',
    'Row 4 of ‘map_W02_day2.txt’, thickness: ‘12..5’ is no number.',
  ])
  expect(preview.problems.map(({ row }) => row)).toEqual([4, 4])
  const wrong = await look(first.text, {
    fileName: first.fileName,
    more: [second],
    options: { before: 'scan' },
  })
  expect(codes(wrong.problems)).toContain('fileName')
  const mended = [first, second].map(({ fileName, text }) => ({
    fileName,
    text: text.replace('12..5', '1502'),
  }))
  const [one, two] = mended as [typeof first, typeof first]
  const source = { studyId, ...one, more: [two] }
  expect(await engine.ok('imports.commit', source)).toMatchObject({ runs: 2, readings: 6 })
  expect((await engine.ok('bench.runs', { studyId })).map(({ code, readings }) => [code, readings])).toEqual([
    ['W01', 3],
    ['W02', 3],
  ])
  // One import of several files is one step; each file is known again by itself, and its text is kept.
  expect((await engine.ok('history.list', { studyId }))[0]?.label).toBe(
    'Imported 2 files: 2 runs, 6 readings',
  )
  expect(codes((await look(two.text, { fileName: 'copy.txt' })).problems)).toContain('importedBefore')
  const kept = await engine.ok('imports.list', { studyId })
  expect(kept.map(({ fileName, readings, undone }) => [fileName, readings, undone])).toEqual([
    ['map_W02_day2.txt', 3, false],
    ['map_W01_day2.txt', 3, false],
  ])
  expect(await engine.ok('imports.text', { importId: kept[1]!.id })).toEqual(one)
  await engine.ok('history.undo', { studyId })
  expect(await engine.ok('bench.runs', { studyId })).toEqual([])
  expect((await engine.ok('imports.list', { studyId })).every(({ undone }) => undone)).toBe(true)
})

test('names of files that hold a run of the study are read around it', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const source = { studyId, fileName: '2026-03-02 W03 after bake.csv', text: 'site,thickness\n1,1500\n' }
  const preview = await engine.ok('imports.preview', source)
  expect(preview).toMatchObject({ problems: [], newRuns: 0, files: [{ run: 'W03' }] })
})

test('one column a substrate: what was filled in site by site is turned, row by row of the file', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const text = [
    'Stylus;;;',
    'Unit;µm;;',
    '',
    'Site;W01;W02;W03',
    '1;1,5010;1,3910;1,6010',
    '2;1,5020;;1,6020',
    'Mean;1,5015;1,3910;1,6015',
  ].join('\r\n')
  const source = { studyId, fileName: 'a.csv', text }
  const preview = await engine.ok('imports.preview', source)
  expect(preview).toMatchObject({ shape: 'readings', runs: 3, newRuns: 0, readings: 5, problems: [] })
  expect(preview.rows.map(({ row, cells }) => [row, ...cells.slice(0, 2), cells.at(-1)])).toEqual([
    [5, 'W01', '1', '1,5010'],
    [6, 'W01', '2', '1,5020'],
    [5, 'W02', '1', '1,3910'],
    [6, 'W02', '2', ''],
    [5, 'W03', '1', '1,6010'],
    [6, 'W03', '2', '1,6020'],
  ])
  expect(codes(preview.leftAside)).toEqual(expect.arrayContaining(['summaryRow', 'noReading']))
  await engine.ok('imports.commit', source)
  const runs = await engine.ok('bench.runs', { studyId })
  const third = runs.find(({ code }) => code === 'W03')?.id as string
  const { readings } = await engine.ok('bench.card', { runId: third })
  expect(readings.map(({ site, value }) => [site, value])).toEqual([
    [1, 1601],
    [2, 1602],
  ])
  // A column that names the run, or none that says where, and it is another table.
  const other = (header: string) =>
    engine.ok('imports.preview', { ...source, text: `${header};W01;W02\n1;1500;1600\n2;1501;1601\n` })
  expect((await other('Run')).columns.map(({ means }) => means)).not.toContain('reading')
  expect((await other('Speed')).columns.map(({ means }) => means)).not.toContain('reading')
})

test('one row a scan: step heights without a place are readings of their run, as many as there are', async () => {
  const { look, take } = await emptyStudy(await testEngine())
  const text =
    'wafer,scan,step height (nm)\nW01,1,1498\nW01,2,1503\nW01,3,OL\nW02,1,1390\nW02,2,1394\nW02,3,1391\n'
  const preview = await look(text)
  expect(preview).toMatchObject({ shape: 'readings', runs: 2, readings: 5, problems: [] })
  expect(preview.leftAside).toMatchObject([{ code: 'noReading', row: 4, column: 'step height (nm)' }])
  const read = await take(text)
  expect(read.W02?.map(({ value, site }) => [value, site])).toEqual([
    [1390, null],
    [1394, null],
    [1391, null],
  ])
})

test('a block from a spreadsheet, and columns held apart by blanks, are read as they stand', async () => {
  const { look } = await emptyStudy(await testEngine())
  expect(await look('run\tT1\tT2\tT3\nW01\t1500,1\t1501\t1502\nW02\t1490,5\t\t1491\n')).toMatchObject({
    shape: 'wide readings',
    delimiter: '\t',
    decimal: 'comma',
    readings: 5,
    problems: [],
  })
  const fixed =
    'Wafer    Site   Thickness\nW01      1      1500.1\nW01      2      1501.5\nW01      3      ---\n'
  expect(await look(fixed)).toMatchObject({ delimiter: ' ', shape: 'readings', readings: 2, problems: [] })
})

test('positions: polar, inches, micrometres, lower left, y down; each shown and changeable', async () => {
  const engine = await testEngine()
  const { look, take } = await emptyStudy(engine)
  const polar = 'wafer,r (mm),theta (deg),thickness\nP,0,0,1500\nP,40,90,1501\nP,40,180,1502\n'
  expect((await look(polar)).columns.map(({ means }) => means)).toEqual(['run', 'radius', 'angle', 'reading'])
  expect(places((await take(polar)).P)).toEqual([
    [0, 0, 1500],
    [0, 40, 1501],
    [-40, 0, 1502],
  ])
  const inches = await look('wafer,x,y,thickness\nI,0,0,1500\nI,1.7,0,1501\nI,0,-1.7,1502\n')
  expect(inches.columns[1]).toMatchObject({ means: 'x', unit: 'inch' })
  expect(inches.rows[1]?.read[1]).toBeCloseTo(43.18, 9)
  const micrometres = await look('wafer,x,y,thickness\nU,0,0,1500\nU,43000,0,1501\n')
  expect(micrometres.columns[1]).toMatchObject({ unit: 'µm' })

  const second = await emptyStudy(engine)
  const corner = 'wafer,x,y,thickness\nC,50,50,1500\nC,93,50,1501\nC,50,7,1502\n'
  expect(await second.look(corner)).toMatchObject({
    options: { origin: 'lower left', yAxis: 'up' },
    problems: [],
  })
  expect(places((await second.take(corner)).C)).toEqual([
    [0, 0, 1500],
    [43, 0, 1501],
    [0, -43, 1502],
  ])

  // Sites of the study's map tell which way y points.
  const third = await emptyStudy(engine)
  const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 })
  const onMap = (turn: 1 | -1) =>
    [
      'wafer,site,x,y,thickness',
      ...sites.map(({ site, xMm, yMm }) => `D,${site},${xMm},${turn * yMm},1500`),
    ].join('\n')
  expect((await third.look(onMap(1))).options).toMatchObject({ origin: 'centre', yAxis: 'up' })
  expect((await third.look(onMap(-1))).options).toMatchObject({ origin: 'centre', yAxis: 'down' })
  const down = 'wafer,x,y,thickness\nE,0,0,1500\nE,10,20,1501\n'
  expect(places((await third.take(down, { options: { yAxis: 'down' } })).E)).toEqual([
    [0, 0, 1500],
    [10, -20, 1501],
  ])
})

test('every sign for micrometre and ångström, in header, cell and column', async () => {
  const { look } = await emptyStudy(await testEngine())
  for (const unit of ['µm', '\u03BCm', 'um'])
    expect((await look(`run,thickness (${unit})\nA,1.5\nB,1.25\n`)).rows[0]?.read[1], unit).toBe(1500)
  for (const unit of ['Å', '\u212B', 'A\u030A', 'A'])
    expect((await look(`run,thickness [${unit}]\nA,15001\nB,12500\n`)).rows[0]?.read[1], unit).toBe(1500.1)
  expect((await look('run,thickness\nA,1.5 µm\nB,15000 Å\n')).rows.map(({ read }) => read[1])).toEqual([
    1500, 1500,
  ])
  expect((await look('run,site,thickness,unit\nA,1,1.5,\u03BCm\nA,2,15000,A\n')).problems).toEqual([])
})

test('a file without a header is noticed, and its columns can be named by hand', async () => {
  const { look, take } = await emptyStudy(await testEngine())
  const text = 'W01,1500.1\nW02,1490.5\nW03,1480.2\n'
  const noticed = await look(text)
  expect(noticed.problems).toMatchObject([{ code: 'noHeader', row: 1 }])
  expect(noticed.columns.map(({ column }) => column)).toEqual(['column 1', 'column 2'])
  expect(codes((await look('1,1500\n2,1501\n')).problems)).toContain('noHeader')
  const columns = [
    { column: 'column 1', means: 'run' as const, name: '', unit: '' },
    { column: 'column 2', means: 'response' as const, name: 'thickness', unit: '' },
  ]
  const read = await take(text, { options: { header: 'none' }, columns })
  expect(Object.keys(read)).toEqual(['W01', 'W02', 'W03'])
  expect(read.W01?.[0]?.value).toBe(1500.1)
})

test('signs between thousands are asked about by column, and never guessed', async () => {
  const { look } = await emptyStudy(await testEngine())
  const text = 'run;thickness (nm)\nA;1.500,5\nB;1.490,25\n'
  const asked = await look(text)
  expect(asked.problems).toMatchObject([{ code: 'thousandsAsked', column: 'thickness (nm)', row: 2 }])
  const settle = (more: object) =>
    asked.columns.map((column) => (column.means === 'response' ? { ...column, ...more } : column))
  const settled = await look(text, { columns: settle({ thousands: 'point', decimal: 'comma' }) })
  expect(settled.problems).toEqual([])
  expect(settled.rows.map(({ read }) => read[1])).toEqual([1500.5, 1490.25])
  const none = await look(text, { columns: settle({ thousands: 'none' }) })
  expect(none.problems.map(({ row }) => row)).toEqual([2, 3])
  for (const [sign, cell] of [
    ['blank', '1 500,5'],
    ['blank', '1\u00A0500,5'],
    ['apostrophe', "1'500,5"],
  ] as const) {
    const other = text.replace('1.500,5', cell).replace('1.490,25', '1490,25')
    expect(codes((await look(other)).problems), cell).toContain('thousandsAsked')
    const columns = settle({ thousands: sign, decimal: 'comma' })
    expect((await look(other, { columns })).rows[0]?.read[1], cell).toBe(1500.5)
  }
})

test('columns may have decimal signs of their own', async () => {
  const { look } = await emptyStudy(await testEngine())
  const text = 'run;speed (rpm);thickness (µm)\nA;3000.5;1,504\nB;4000.5;1,300\n'
  const { columns, problems } = await look(text)
  expect(codes(problems)).toEqual(['ambiguousDecimal'])
  const own = columns.map((column) =>
    column.means === 'response' ? { ...column, decimal: 'comma' as const } : column,
  )
  const settled = await look(text, { columns: own })
  expect(settled).toMatchObject({ problems: [], decimals: ['point', 'point', 'comma'] })
  expect(settled.rows[0]?.read).toEqual(['A', 3000.5, 1504])
})

test('Latin-1 and UTF-16 bytes give the same runs as UTF-8', async () => {
  const { look } = await emptyStudy(await testEngine())
  const text = 'run;thickness (µm)\nA;1,5\nB;1,25\n'
  const utf16 = Buffer.from(`\uFEFF${text}`, 'utf16le')
  const bytes = [Buffer.from(text), Buffer.from(`\uFEFF${text}`), Buffer.from(text, 'latin1'), utf16]
  for (const each of [...bytes, Buffer.from(utf16).swap16()])
    expect((await look(textOfBytes(each))).rows.map(({ read }) => read)).toEqual([
      ['A', 1500],
      ['B', 1250],
    ])
})

test('planted faults: a site in µm, a wafer in Å, a wafer id twice, summaries in the file', async () => {
  const { look } = await emptyStudy(await testEngine())
  const text = [
    'wafer,T1,T2,T3,T4,T5',
    'W01,1501,1502,1.504,1503,1500',
    'W02,15040,15030,15020,15010,15050',
    'W03,1490,1491,1492,1493,1494',
    'W03,1480,1481,1482,1483,1484',
    'Mean,1490,1491,1492,1493,1494',
  ].join('\n')
  const { warnings, problems, leftAside } = await look(text)
  expect(warnings.map(({ row, column }) => [row, column])).toEqual([
    [2, 'site 3'],
    [3, undefined],
  ])
  expect(problems).toMatchObject([{ code: 'duplicateRun', row: 5 }])
  expect(leftAside).toMatchObject([{ code: 'summaryRow', row: 6 }])
})

test('a table of runs that are called measured, without their readings, comes in as coated and says so', async () => {
  const engine = await testEngine()
  const { studyId, look } = await emptyStudy(engine)
  const text = 'run,state,speed (rpm)\nW01,measured,3000\nW02,planned,4000\n'
  expect((await look(text)).leftAside).toMatchObject([{ code: 'noReadings', row: 2 }])
  await engine.ok('imports.commit', { studyId, fileName: 'runs.csv', text })
  const states = async () => (await engine.ok('bench.runs', { studyId })).map(({ state }) => state)
  expect(await states()).toEqual(['coated', 'planned'])
  const sites = Array.from({ length: 9 }, (_, i) => `W01,${i + 1},1500\n`)
  const readings = `run,site,thickness (nm)\n${sites.join('')}`
  await engine.ok('imports.commit', { studyId, fileName: 'readings.csv', text: readings })
  expect(await states()).toEqual(['measured', 'planned'])
})

test('what columns mean is kept by name, offered for the same columns, replaced and dropped', async () => {
  const engine = await testEngine()
  const { look } = await emptyStudy(engine)
  const text = 'id code,result\nA,1500\nB,1490\n'
  const { columns } = await look(text)
  const meant = columns.map((column) =>
    column.column === 'id code'
      ? { ...column, means: 'run' as const }
      : { ...column, means: 'response' as const, name: 'thickness', unit: 'Å' },
  )
  const kept = { name: 'Gauge 2', columns: meant, options: { yAxis: 'down' as const } }
  const { mappingId } = await engine.ok('imports.keepMapping', kept)
  const offered = (await look('id code,result\nC,1\n')).mappings
  expect(offered).toEqual([{ id: mappingId, ...kept }])
  const used = await look(text, { columns: offered[0]!.columns, options: offered[0]!.options })
  expect(used).toMatchObject({ problems: [], readings: 2, options: { yAxis: 'down' } })
  expect(used.rows[0]?.read).toEqual(['A', 150])
  expect((await look('id code,result,more\nC,1,2\n')).mappings).toEqual([])
  expect((await engine.ok('imports.keepMapping', { ...kept, options: {} })).mappingId).toBe(mappingId)
  expect(await engine.ok('imports.mappings', {})).toMatchObject([{ name: 'Gauge 2', options: {} }])
  await engine.ok('imports.dropMapping', { mappingId })
  expect(await engine.ok('imports.mappings', {})).toEqual([])
  expect(codes(await engine.refused('imports.dropMapping', { mappingId }))).toEqual(['noSuchMapping'])
})

test('a row that says its own quantity and unit is shown as it is read', async () => {
  const { look } = await emptyStudy(await testEngine())
  const { rows } = await look('run,site,quantity,value,unit\nA,1,thickness,1.5,µm\nA,,stress,-12,MPa\n')
  expect(rows.map(({ read }) => read[3])).toEqual([1500, -12])
})

test.each([
  ['refractive index', '1.62'],
  ['Refractive_Index', '1.62'],
  ['n', '1.62'],
  ['n', '9'],
])('a column ‘%s’ of %s is the optical index where it can be one', async (header, cell) => {
  const { look } = await emptyStudy(await testEngine())
  const { columns } = await look(`run,site,thickness,${header}\nA,1,1500,${cell}\nA,2,1501,${cell}\n`)
  if (cell === '9') expect(columns[3]?.means).not.toBe('optical index')
  else expect(columns[3]?.means).toBe('optical index')
})
