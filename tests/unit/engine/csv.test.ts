import fc from 'fast-check'
import { expect, test } from 'vitest'
import { isFailedPoint, readCsv, tableFromCsv } from '../../../electron/engine/files/csv.ts'
import { withoutSummaries } from '../../../electron/engine/files/summary-rows.ts'
import { writeCsv } from '../../../electron/engine/files/write-csv.ts'
import { asMeant, neutralized } from '../../../shared/neutral-text.ts'
import { textOfBytes } from '../../../shared/text-of-bytes.ts'

function table(source: string | Uint8Array, options = {}) {
  const read = readCsv(source, options)
  if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join(' '))
  return read.value
}

const values = (source: string | Uint8Array, options = {}) =>
  Object.fromEntries(
    tableFromCsv(table(source, options)).columns.map((column) => [column.name, column.values]),
  )

function problemsOf(text: string, options = {}) {
  const read = readCsv(text, options)
  return read.ok ? [] : read.problems
}

const codes = (text: string, options = {}) => problemsOf(text, options).map((problem) => problem.code)

test.each([
  ['comma', 'speed,thickness\n3000,1500.5\n4000,1300\n'],
  ['semicolon', 'speed;thickness\n3000;1500,5\n4000;1300\n'],
  ['tab', 'speed\tthickness\r\n3000\t1500.5\r\n4000\t1300'],
  ['tab, decimal comma', 'speed\tthickness\n3000\t1500,5\n4000\t1300'],
  ['blanks', 'speed   thickness\n3000   1500.5\n 4000  1300\n'],
  ['old line ends', 'speed,thickness\r3000,1500.5\r4000,1300\r'],
  ['mixed line ends', 'speed,thickness\r\n3000,1500.5\n4000,1300\r\n'],
  ['quoted', '"speed","thickness"\n"3000","1500.5"\n"4000","1300"\n'],
  ['byte-order mark', '\uFEFFspeed,thickness\n3000,1500.5\n4000,1300\n'],
  ['blank lines', '\nspeed,thickness\n\n3000,1500.5\n , \n4000,1300\n\n\n'],
])('the same numbers come from a file with %s', (_, text) => {
  expect(values(text)).toEqual({ speed: [3000, 4000], thickness: [1500.5, 1300] })
})

test('bytes are read in the encoding that they are in', () => {
  const text = 'speed,thickness (µm)\n3000,1.5\n4000,1.25\n'
  const utf16 = (bom: number[], big: boolean) => {
    const bytes = Buffer.from(text, 'utf16le')
    return Uint8Array.from([...bom, ...(big ? bytes.swap16() : bytes)])
  }
  const sources: Record<string, Uint8Array> = {
    'UTF-8': Buffer.from(text),
    'UTF-8 with mark': Buffer.from(`\uFEFF${text}`),
    'UTF-16 LE with mark': utf16([0xff, 0xfe], false),
    'UTF-16 BE with mark': utf16([0xfe, 0xff], true),
    'UTF-16 LE': utf16([], false),
    'UTF-16 BE': utf16([], true),
    'Latin-1': Buffer.from(text, 'latin1'),
  }
  for (const [name, bytes] of Object.entries(sources)) {
    expect(textOfBytes(bytes), name).toBe(text)
    expect(table(bytes).columns[1], name).toMatchObject({ name: 'thickness', unit: 'µm' })
  }
})

test('units are taken from the headers, and rows count as a spreadsheet shows them', () => {
  const { columns, rows } = table('\nwafer,thickness [nm],x_mm,bake (°C)\n\nW1,1500,0,95.5\n')
  expect(columns.map(({ name, unit }) => [name, unit])).toEqual([
    ['wafer', null],
    ['thickness', 'nm'],
    ['x', 'mm'],
    ['bake', '°C'],
  ])
  expect(rows).toEqual([{ row: 4, cells: ['W1', '1500', '0', '95.5'] }])
})

test('columns that differ by their unit only keep their whole header as a name', () => {
  expect(table('x (mm),x (px)\n1.5,2\n').columns.map(({ name }) => name)).toEqual(['x (mm)', 'x (px)'])
})

test('a decimal sign is settled by column, and what nothing settles is asked about', () => {
  // 1.234 between semicolons may be 1234 by the writer's habit.
  expect(codes('speed;thickness\n3000;1.504\n4000;1.300\n')).toEqual(['ambiguousDecimal'])
  expect(codes('speed;thickness\n3000;1,504\n4000;1,300\n')).toEqual(['ambiguousDecimal'])
  expect(codes('speed,thickness\n3000,"1,504"\n4000,"1,300"\n')).toEqual(['ambiguousDecimal'])
  expect(values('speed;thickness\n3000;1,504\n', { decimal: 'comma' }).thickness).toEqual([1.504])
  expect(values('speed;thickness\n3000;1.504\n', { decimal: 'point' }).thickness).toEqual([1.504])
  // One number that can only be meant one way settles its column, and a column its file.
  expect(values('speed;thickness\n3000;1,504\n4000;1,3\n').thickness).toEqual([1.504, 1.3])
  expect(values('speed;thickness\n3000;1,504\n4000;0,914\n').thickness).toEqual([1.504, 0.914])
  expect(values('time;thickness\n40,5;1,504\n40,5;1,300\n').thickness).toEqual([1.504, 1.3])
  // Between commas a point is no thousands sign.
  expect(values('speed,thickness\n3000,1.504\n').thickness).toEqual([1.504])
  expect(problemsOf('a;b\n1,5;2\n1.5;3\n')).toMatchObject([{ code: 'mixedDecimal', column: 'a', row: 3 }])
})

test('texts that look like numbers settle nothing and are not asked about', () => {
  const text = 'typed text,x (mm)\n"1499,5",31.113\n1500.1,-31.113\n1.504,0\n'
  expect(values(text).x).toEqual([31.113, -31.113, 0])
  expect(codes('typed text;x (mm)\n1499,5;31.113\n1500.1;-31.113\n')).toEqual(['ambiguousDecimal'])
})

test('a decimal comma is never read as a sign of thousands, nor the other way', () => {
  const cell = fc
    .tuple(fc.nat(9999), fc.nat(99))
    .map(([whole, part]) => `${whole},${String(part).padStart(2, '0')}`)
  fc.assert(
    fc.property(fc.array(cell, { minLength: 1 }), (cells) => {
      const read = values(`a;thickness\n${cells.map((text) => `1;${text}`).join('\n')}\n`).thickness
      expect(read).toEqual(cells.map((text) => Number(text.replace(',', '.'))))
    }),
  )
})

test('what is no table is refused in plain words', () => {
  expect(codes('')).toEqual(['emptyFile'])
  expect(codes(' \n\n')).toEqual(['emptyFile'])
  expect(codes('1500\n1501\n')).toEqual(['noHeader'])
  expect(codes('1,2\n3,4\n')).toEqual(['noHeader'])
  expect(codes('a,b\n')).toEqual(['noRows'])
  expect(codes('PK\u0003\u0004\0\0\0,b\n')).toEqual(['notText'])
  expect(problemsOf('a,b,a\n1,2,3\n')).toMatchObject([{ code: 'duplicateColumn', column: 'a' }])
  expect(problemsOf('a,b\n1,2,3\n4,5\n')).toMatchObject([{ code: 'tooManyCells', row: 2 }])
  expect(problemsOf('a,b\n"x,1\n2,3\n')).toMatchObject([{ code: 'brokenQuotes', row: 2 }])
})

test('lines above the table, the header again and summary rows are left aside by name', () => {
  const text = [
    'Operator: A. N.',
    'Gauge; mode 2',
    '',
    'site,thickness (nm)',
    '1,1500.5',
    'site,thickness (nm)',
    '2,1501.5',
    '',
    'Mean,1501',
    'Std. dev.,0.7',
    'Min:,1500.5',
    'MAX,1501.5',
  ].join('\n')
  const read = withoutSummaries(table(text))
  expect(read.rows.map(({ cells }) => cells[1])).toEqual(['1500.5', '1501.5'])
  expect(read.leftAside.map(({ code, row }) => [code, row])).toEqual([
    ['aboveTable', 1],
    ['aboveTable', 2],
    ['headerAgain', 6],
    ['summaryRow', 9],
    ['summaryRow', 10],
    ['summaryRow', 11],
    ['summaryRow', 12],
  ])
})

test('cells become numbers, texts or nothing, and a text among numbers stays to be named', () => {
  const read = values('lot,speed,thickness\nA,3000,1500\nB,3o00,NaN\nB,4000,---\n-,5000,\n')
  expect(read).toEqual({
    lot: ['A', 'B', 'B', '-'],
    speed: [3000, '3o00', 4000, 5000],
    thickness: [1500, null, null, null],
  })
  for (const word of ['NaN', '---', 'OL', 'N/A', '#N/A', '—', 'inf', 'fail'])
    expect(isFailedPoint(word), word).toBe(true)
  for (const word of ['', '0', '-1', 'B', 'full']) expect(isFailedPoint(word), word).toBe(false)
})

test('no text that is written can be run as a formula, and every text comes back as it was', () => {
  expect(['=1+1', '+1', '-1', '@x', '\tx', '\rx', "'x", 'a=1', ''].map(neutralized)).toEqual([
    "'=1+1",
    "'+1",
    "'-1",
    "'@x",
    "'\tx",
    "'\rx",
    "''x",
    'a=1',
    '',
  ])
  fc.assert(
    fc.property(fc.string(), (text) => {
      expect(neutralized(text)).not.toMatch(/^[=+\-@\t\r]/)
      expect(asMeant(neutralized(text))).toBe(text)
    }),
  )
})

test('numbers and texts that are written come back the same, bit for bit', () => {
  const text = fc.string({
    unit: fc.constantFrom('a', ' ', '"', ',', ';', '\n', "'", '=', '-', 'µ', '1', '.'),
  })
  const number = fc.double({ noNaN: true, noDefaultInfinity: true })
  fc.assert(
    fc.property(fc.array(fc.tuple(text, number), { minLength: 1, maxLength: 8 }), (rows) => {
      const read = table(
        writeCsv(
          ['note', 'value', 'end'],
          rows.map(([note, value]) => [note, value, 'x']),
        ),
      )
      expect(read.rows.map(({ cells }) => cells[0])).toEqual(rows.map(([note]) => note))
      const numbers = tableFromCsv(read).columns[1]?.values as number[]
      rows.forEach(([, value], i) => {
        // A minus before zero is not kept.
        expect(Object.is(numbers[i], value === 0 ? 0 : value) || numbers[i] === value).toBe(true)
      })
    }),
  )
})

test('negative numbers are written as numbers, with commas, CRLF and a byte-order mark', () => {
  expect(
    writeCsv(
      ['a', 'b'],
      [
        [-1.5, '-1.5'],
        [null, 'x,"y"'],
      ],
    ),
  ).toBe('\uFEFFa,b\r\n-1.5,\'-1.5\r\n,"x,""y"""\r\n')
})

test('whatever the delimiter, the quotes and the line ends, the cells come back as they were', () => {
  const note = fc.string({
    unit: fc.constantFrom('a', 'b', ' ', '"', ',', ';', '\t', '\n', '1', '.'),
    maxLength: 6,
  })
  const quoted = (cell: string) => `"${cell.replaceAll('"', '""')}"`
  fc.assert(
    fc.property(
      fc.constantFrom(',', ';', '\t'),
      fc.constantFrom('\n', '\r\n'),
      fc.array(fc.tuple(fc.integer({ min: 1, max: 9999 }), note), { minLength: 2, maxLength: 8 }),
      (delimiter, end, rows) => {
        const lines = rows.map(([value, text]) => ['W', value, quoted(text), 'x'].join(delimiter))
        const read = table([['run', 'value', 'note', 'end'].join(delimiter), ...lines].join(end))
        expect(read.delimiter).toBe(delimiter)
        expect(read.rows.map(({ cells }) => [Number(cells[1]), cells[2]])).toEqual(rows)
      },
    ),
  )
})
