import { describe, expect, test } from 'vitest'
import { readTrace } from '../../../electron/engine/files/read-trace.ts'

function read(text: string | Uint8Array, options = {}) {
  const answer = readTrace(text, options)
  if (!answer.ok) throw new Error(answer.problems.map(({ message }) => message).join(' '))
  return answer.value
}
const codes = (text: string, options = {}) => {
  const answer = readTrace(text, options)
  return answer.ok ? [] : answer.problems.map(({ code }) => code)
}
const expected = [
  { position: 0, height: 12.5 },
  { position: 0.5, height: -3 },
  { position: 1, height: 7.25 },
]

describe('a trace is read', () => {
  test.each([
    ['position,height\n0,12.5\n0.5,-3\n1,7.25\n'],
    ['position (µm);height (nm)\n0;12,5\n0,5;-3\n1;7,25\n'],
    ['Operator: NN\nForce\t3 mg\n\nLateral um\tTotal Profile Å\n0\t125\n0.5\t-30\n1\t72.5\n'],
    ['Lateral,Profile\n(mm),(µm)\n0,0.0125\n0.0005,-0.003\n0.001,0.00725\n'],
    ['0 12.5\n0.5 -3\n1 7.25'],
    ['   0.0   12.50\r\n   0.5   -3.00\r\n   1.0   7.25\r\n'],
    ['0,0 12,5\n0,5 -3\n1,0 7,25'],
    ['height,position\n12.5,0\n-3,0.5\n7.25,1\n'],
    ['"x_um","z_nm","flag"\n"0","12.5","1"\n"0.5","-3","1"\n"1","7.25","1"\nend of scan\n'],
    ['position,height\n0,12.5\n0.25,NaN\n0.5,-3\n0.75,\n1,7.25\n'],
  ])('%j', (text) => {
    const { points } = read(text)
    expect(points).toHaveLength(3)
    points.forEach((point, i) => {
      expect(point.position).toBeCloseTo(expected[i]!.position, 12)
      expect(point.height).toBeCloseTo(expected[i]!.height, 10)
    })
  })

  test('from bytes of another encoding', () => {
    const bytes = Uint8Array.from(
      [...'position;H\u00F6he (\u00C5)\n0;1\n1;2\n2;3\n'].map((c) => c.charCodeAt(0)),
    )
    expect(read(bytes)).toMatchObject({ heightUnit: 'Å', points: [{}, {}, { height: 0.3 }] })
  })

  test('with units that a person gives, and a note where they are assumed', () => {
    const bare = '0 1\n1 2\n2 3'
    expect(read(bare).notes.map(({ code }) => code)).toEqual(['unitAssumed'])
    const given = read(bare, { positionUnit: 'mm', heightUnit: 'Å' })
    expect(given.notes).toEqual([])
    expect(given.points[1]).toEqual({ position: 1000, height: 0.2 })
  })

  test('and what stands beside the numbers is said', () => {
    const { notes } = read('Recipe,17\nposition (um),height (nm)\n0,1\n1,2\n2,3\nend\n')
    expect(notes.map(({ code, row }) => [code, row])).toEqual([
      ['aboveTable', 1],
      ['aboveTable', 6],
    ])
  })
})

describe('a file that is no trace', () => {
  test('is refused by what is wrong', () => {
    expect(codes('')).toEqual(['emptyFile'])
    expect(codes('a\0b')).toEqual(['notText'])
    expect(codes('height\n1\n2\n3\n')).toEqual(['unknownColumn'])
    expect(codes('position,height\n0,1\n1,oops\n2,3\n3,4\n4,5\n5,6')).toEqual(['notANumber'])
  })

  test('is asked about where its decimal sign is doubtful', () => {
    const text = '1.234;5.678\n2.345;6.789\n3.456;7.891'
    expect(codes(text)).toEqual(['ambiguousDecimal', 'ambiguousDecimal'])
    expect(read(text, { decimal: 'point' }).points[0]).toEqual({ position: 1.234, height: 5.678 })
  })
})
