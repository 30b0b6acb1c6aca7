import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  copiedBlock,
  filledDown,
  isLookedAt,
  pastedBlock,
} from '../../../renderer/screens/bench/grid-block.ts'
import {
  at,
  blockOf,
  cellsOf,
  isSelected,
  moved,
  type Selection,
} from '../../../renderer/screens/bench/grid-selection.ts'
import { checkLetter, codeWithLetter } from '../../../shared/process/check-letter.ts'

const size = { rows: 4, columns: 3 }
const cell = (row: number, column: number) => ({ row, column })
const heads = ['W01', 'W02', 'W03', 'W04']
const names = { rows: 'runs', columns: 'sites' }
const studyId = '0190f3c2-0000-7000-8000-000000000000'
const grid = { ...size, heads, names, studyId, unit: 'nm' as const }

describe('keys', () => {
  test('arrows stop at the edges, Enter goes down and on to the next column, Tab right and on to the next row', () => {
    expect(moved(at(cell(0, 0)), { key: 'ArrowUp' }, size)).toEqual(at(cell(0, 0)))
    expect(moved(at(cell(0, 0)), { key: 'ArrowRight' }, size)).toEqual(at(cell(0, 1)))
    expect(moved(at(cell(1, 1)), { key: 'Enter' }, size)).toEqual(at(cell(2, 1)))
    expect(moved(at(cell(3, 1)), { key: 'Enter' }, size)).toEqual(at(cell(0, 2)))
    expect(moved(at(cell(0, 1)), { key: 'Enter', shiftKey: true }, size)).toEqual(at(cell(3, 0)))
    expect(moved(at(cell(1, 1)), { key: 'Enter', shiftKey: true }, size)).toEqual(at(cell(0, 1)))
    expect(moved(at(cell(1, 2)), { key: 'Tab' }, size)).toEqual(at(cell(2, 0)))
    expect(moved(at(cell(1, 0)), { key: 'Tab', shiftKey: true }, size)).toEqual(at(cell(0, 2)))
    expect(moved(at(cell(1, 0)), { key: 'ArrowDown', ctrlKey: true }, size)).toEqual(at(cell(3, 0)))
    expect(moved(at(cell(1, 1)), { key: 'End', ctrlKey: true }, size)).toEqual(at(cell(3, 2)))
  })

  test('Tab and Enter stop at the ends of the grid, and other keys move nothing', () => {
    expect(moved(at(cell(3, 2)), { key: 'Tab' }, size)).toBeNull()
    expect(moved(at(cell(0, 0)), { key: 'Tab', shiftKey: true }, size)).toBeNull()
    expect(moved(at(cell(3, 2)), { key: 'Enter' }, size)).toBeNull()
    expect(moved(at(cell(0, 0)), { key: 'Enter', shiftKey: true }, size)).toBeNull()
    expect(moved(at(cell(0, 0)), { key: '7' }, size)).toBeNull()
  })

  test('Shift with arrows draws a block on, backwards too', () => {
    let selection: Selection = at(cell(2, 2))
    for (const key of ['ArrowUp', 'ArrowLeft'])
      selection = moved(selection, { key, shiftKey: true }, size) as Selection
    expect(blockOf(selection)).toEqual({ top: 1, bottom: 2, left: 1, right: 2 })
    expect(isSelected(selection, cell(1, 2))).toBe(true)
    expect(isSelected(selection, cell(0, 2))).toBe(false)
    expect(cellsOf(selection)).toHaveLength(4)
  })

  test('no key leads out of the grid', () => {
    const keys = ['ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight', 'Enter', 'Tab', 'Home', 'End']
    const stroke = fc.record({ key: fc.constantFrom(...keys), shiftKey: fc.boolean(), ctrlKey: fc.boolean() })
    fc.assert(
      fc.property(fc.array(stroke, { maxLength: 30 }), (strokes) => {
        let selection = at(cell(0, 0))
        for (const one of strokes) selection = moved(selection, one, size) ?? selection
        const { top, bottom, left, right } = blockOf(selection)
        expect(top >= 0 && left >= 0 && bottom < size.rows && right < size.columns).toBe(true)
      }),
    )
  })
})

describe('blocks', () => {
  const texts = [
    ['1500', '1501', ''],
    ['1510', '', '1512'],
    ['', '', ''],
    ['1530', '1531', '1532'],
  ]
  const columns = ['site 1 (nm)', 'site 2 (nm)', 'site 3 (nm)']

  test('what is copied carries heads and run codes, and comes back by a paste', () => {
    const all = { from: cell(0, 0), to: cell(3, 2) }
    const text = copiedBlock({ corner: 'run', rows: heads, columns, texts }, all)
    expect(text.split('\n')[0]).toBe('run\tsite 1 (nm)\tsite 2 (nm)\tsite 3 (nm)')
    const block = pastedBlock(text, at(cell(0, 0)), grid)
    expect(block.ok && block.value.map(({ row, column, text: one }) => [row, column, one])).toEqual(
      texts.flatMap((line, row) => line.flatMap((one, column) => (one === '' ? [] : [[row, column, one]]))),
    )
  })

  test('codes may bear their check letter; a letter of another run is asked about', () => {
    const rows = heads.slice(0, 2).map((code) => `${codeWithLetter(studyId, code)}\t1500`)
    const block = pastedBlock(rows.join('\n'), at(cell(0, 0)), grid)
    expect(block.ok && block.value.map(({ row, column }) => [row, column])).toEqual([
      [0, 0],
      [1, 0],
    ])
    const wrong = `W01-${checkLetter(studyId, 'W02')}\t1500\n${rows[1]}`
    const asked = pastedBlock(wrong, at(cell(0, 0)), grid)
    expect(asked).toMatchObject({ ok: false, problems: [{ code: 'wrongLetter' }] })
    expect(!asked.ok && asked.problems[0]?.message).toContain(codeWithLetter(studyId, 'W02'))
  })

  test('one number fills the selection; a block that runs over the edge is refused whole', () => {
    const filledOut = pastedBlock('1502\n', { from: cell(2, 0), to: cell(1, 1) }, grid)
    expect(filledOut.ok && filledOut.value.length).toBe(4)
    const over = pastedBlock('1\t2\n3\t4\n', at(cell(3, 0)), grid)
    expect(over).toMatchObject({
      ok: false,
      problems: [
        {
          code: 'tooLarge',
          message:
            'The block has 2 rows and 2 columns; from here on there are 1 runs and 3 sites. Nothing was taken.',
        },
      ],
    })
    expect(pastedBlock(' \n', at(cell(0, 0)), grid)).toMatchObject({ ok: false })
  })

  test('what is no number keeps its place and says so', () => {
    const block = pastedBlock('1500\tOL\n1,5123 µm\t1502', at(cell(0, 1)), grid)
    expect(block.ok && block.value.map(({ valueNm, problem }) => [valueNm, problem === null])).toEqual([
      [1500, true],
      [null, false],
      [1512.3, true],
      [1502, true],
    ])
  })

  test('filling down takes the topmost text of each column and leaves columns without one alone', () => {
    const cells = filledDown(texts, { from: cell(0, 0), to: cell(2, 2) }, 'nm')
    expect(cells.map(({ row, column, text }) => `${row} ${column} ${text}`)).toEqual([
      '1 0 1500',
      '2 0 1500',
      '1 1 1501',
      '2 1 1501',
    ])
  })

  test('a block is looked at where it takes several rows, or several cells with readings among them', () => {
    const block = (text: string, from = cell(0, 0)) => {
      const read = pastedBlock(text, at(from), grid)
      return isLookedAt(read.ok ? read.value : [], ({ row, column }) => texts[row]?.[column] ?? '')
    }
    expect(block('1\n2', cell(2, 0))).toBe(true)
    expect(block('1\t2')).toBe(true)
    expect(block('1', cell(0, 0))).toBe(false)
    expect(block('1\t2', cell(2, 0))).toBe(false)
    expect(block('1500\t1501')).toBe(false)
  })
})
