import { describe, expect, test } from 'vitest'
import { definingWords } from '../../../shared/design/generators.ts'
import {
  fractionColumns,
  lettered,
  publishedGenerators,
  resolutionOf,
} from '../../../shared/design/two-level-fraction.ts'

// Generators and resolutions: Box, Hunter & Hunter, Statistics for Experimenters (1978), p. 410, as printed in
// the design files of the US National Institute of Standards and Technology (2^(5−1), 2^(5−2), 2^(6−2), 2^(7−3),
// 2^(8−4)), the others from memory; every resolution and word-length pattern recomputed. The pattern: words of
// length 3, 4, 5 …
const table: [number, string, number, number, Record<number, number>][] = [
  [3, 'C=AB', 4, 3, { 3: 1 }],
  [4, 'D=ABC', 8, 4, { 4: 1 }],
  [5, 'E=ABCD', 16, 5, { 5: 1 }],
  [5, 'D=AB E=AC', 8, 3, { 3: 2, 4: 1 }],
  [6, 'F=ABCDE', 32, 6, { 6: 1 }],
  [6, 'E=ABC F=BCD', 16, 4, { 4: 3 }],
  [6, 'D=AB E=AC F=BC', 8, 3, { 3: 4, 4: 3 }],
  [7, 'G=ABCDEF', 64, 7, { 7: 1 }],
  [7, 'F=ABCD G=ABDE', 32, 4, { 4: 1, 5: 2 }],
  [7, 'E=ABC F=BCD G=ACD', 16, 4, { 4: 7 }],
  [7, 'D=AB E=AC F=BC G=ABC', 8, 3, { 3: 7, 4: 7, 7: 1 }],
  [8, 'G=ABCD H=ABEF', 64, 5, { 5: 2, 6: 1 }],
  [8, 'F=ABC G=ABD H=BCDE', 32, 4, { 4: 3, 5: 4 }],
  [8, 'E=BCD F=ACD G=ABC H=ABD', 16, 4, { 4: 14, 8: 1 }],
  [9, 'F=BCDE G=ACDE H=ABDE I=ABCE', 32, 4, { 4: 6, 5: 8, 8: 1 }],
  [9, 'E=ABC F=BCD G=ACD H=ABD I=ABCD', 16, 3, { 3: 4, 4: 14, 5: 8, 7: 4, 8: 1 }],
  [11, 'E=ABC F=BCD G=ACD H=ABD I=ABCD J=AB K=AC', 16, 3, { 3: 12, 4: 26, 5: 28, 6: 24, 7: 20, 8: 13, 9: 4 }],
]

describe.each(table)('2^(%i) by %s', (k, text, runs, resolution, pattern) => {
  const generators = lettered(text)

  test('is in the list of the program', () => {
    expect(publishedGenerators[k]).toContain(text)
  })

  test('has its resolution and its words', () => {
    expect(resolutionOf(generators)).toBe(resolution)
    const lengths: Record<number, number> = {}
    for (const { factors } of definingWords(generators))
      lengths[factors.length] = (lengths[factors.length] ?? 0) + 1
    expect(lengths).toEqual(pattern)
  })

  test('is balanced, its columns orthogonal, every word constant over the runs', () => {
    const rows = fractionColumns(k, generators)
    expect(rows).toHaveLength(runs)
    for (let a = 0; a < k; a++) {
      expect(rows.reduce((sum, row) => sum + row[a]!, 0)).toBe(0)
      for (let b = 0; b < a; b++) expect(rows.reduce((sum, row) => sum + row[a]! * row[b]!, 0)).toBe(0)
    }
    for (const { factors, sign } of definingWords(generators))
      for (const row of rows) expect(factors.reduce<number>((product, f) => product * row[f]!, 1)).toBe(sign)
  })
})

test('the quarter fraction of five factors has the words ABD, ACE and BCDE', () => {
  const words = definingWords(lettered('D=AB E=AC')).map(({ factors }) =>
    factors.map((f) => 'ABCDE'[f]).join(''),
  )
  expect(words).toEqual(['ABD', 'ACE', 'BCDE'])
})
