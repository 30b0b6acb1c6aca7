import { describe, expect, test } from 'vitest'
import { pastedRows } from '../../../renderer/screens/bench/pasted-column.ts'

const sites = [1, 2, 3, 4, 5].map((site) => ({ site, standing: site === 2 ? '1499 nm' : null }))
const paste = (text: string, firstSite = 1) => pastedRows(text, { sites, firstSite, unit: 'nm' })

function good(text: string, firstSite = 1) {
  const answer = paste(text, firstSite)
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}

describe('a pasted column', () => {
  test('goes to the sites in order, with Windows line ends and a trailing one', () => {
    expect(good('1501\r\n1502,5\r\n1503\r\n').map(({ site, valueNm }) => [site, valueNm])).toEqual([
      [1, 1501],
      [2, 1502.5],
      [3, 1503],
    ])
  })

  test('may start at any site and have a header', () => {
    expect(good('thickness\n1501\n1502', 4).map(({ site }) => site)).toEqual([4, 5])
  })

  test('an empty cell keeps its place: no later number moves up a site', () => {
    expect(good('1501\n1502\n\n1504\n').map(({ site, text }) => [site, text])).toEqual([
      [1, '1501'],
      [2, '1502'],
      [4, '1504'],
    ])
    expect(good('1501\t\t1503').map(({ site }) => site)).toEqual([1, 3])
  })

  test('beside the numbers of the sites is taken, header or not', () => {
    expect(good('1\t1501\n2\t1502').map(({ text }) => text)).toEqual(['1501', '1502'])
    expect(good('site\tnm\n3\t1501\n4\t1502', 3).map(({ site, text }) => [site, text])).toEqual([
      [3, '1501'],
      [4, '1502'],
    ])
  })

  test('is refused where no one can tell which of several columns is meant', () => {
    for (const text of ['13005,1\t1\n13006\t1', '1\t1501\t0.99\n2\t1502\t0.98']) {
      const answer = paste(text)
      expect(!answer.ok && answer.problems[0]?.code).toBe('severalColumns')
    }
  })

  test('may be a row', () => {
    expect(good('1501\t1502\t1503')).toHaveLength(3)
  })

  test('says which readings it would supersede and which cells are no numbers', () => {
    const rows = good('1501\n12..5')
    expect(rows[1]).toMatchObject({ supersedes: '1499 nm', valueNm: null })
    expect(rows[1]!.problem).toContain('‘12..5’')
  })

  test('is refused where it is longer than the sites that are left', () => {
    const answer = paste('1\n2\n3', 4)
    expect(answer.ok).toBe(false)
    expect(!answer.ok && answer.problems[0]?.message).toBe(
      '3 numbers were pasted, but from site 4 on there are 2 sites. Nothing was taken.',
    )
  })

  test('is refused where there is nothing', () => {
    expect(paste(' \n').ok).toBe(false)
  })
})
