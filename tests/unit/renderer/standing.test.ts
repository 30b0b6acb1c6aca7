import { expect, test } from 'vitest'
import { standing } from '../../../renderer/standing.ts'

type Run = Parameters<typeof standing>[1][number]
const run = (code: string, state: Run['state'], kind: Run['kind'] = 'factorial'): Run => ({
  id: code,
  code,
  state,
  kind,
})
const study = { targetNm: 1500 }
const three = ['W01', 'W02', 'W03'].map((code) => run(code, 'measured'))
const words = (...given: Parameters<typeof standing>) => standing(...given).words

test('a study is told what to do next in the order of the work', () => {
  expect(standing({ targetNm: null }, [])).toMatchObject({
    words: 'Say which thickness you need',
    screen: 'studies',
  })
  expect(standing(study, [])).toMatchObject({ words: 'Plan the first runs', screen: 'plan' })
  expect(standing(study, [run('W01', 'planned'), run('W02', 'planned')])).toEqual({
    words: 'Coat W01; 1 more after it',
    screen: 'bench',
    runId: 'W01',
    work: 'coat',
  })
  expect(standing(study, three)).toMatchObject({ screen: 'curves' })
})

test('what is coated is read before anything more is coated', () => {
  expect(words(study, [run('W01', 'planned'), run('W02', 'coated')])).toBe('Read W02')
})

test('runs are finished before the target is asked for', () => {
  expect(words({ targetNm: null }, [run('W01', 'planned')])).toBe('Coat W01')
})

test('dropped and monitor runs tell nothing of the film', () => {
  expect(words(study, [...three.slice(1), run('W09', 'dropped')])).toContain('2 are too few')
  expect(words(study, [...three.slice(1), run('M1', 'measured', 'monitor')])).toContain('Plan more runs')
})

test('recommended runs lead to the confirmation, and that to its verdict', () => {
  const next = run('W04', 'measured', 'next')
  expect(words(study, [...three, next])).toContain('Confirm the recipe')
  expect(words(study, [...three, next, run('W05', 'measured', 'confirmation')])).toContain('is confirmed')
  expect(words(study, [...three, run('W04', 'planned', 'next')])).toBe('Coat W04')
})

test('a confirmation that passed leads to the report, one that did not to another run', () => {
  const runs = [...three, run('W04', 'measured', 'confirmation')]
  expect(standing(study, runs, 'passed')).toMatchObject({ screen: 'report' })
  expect(standing(study, runs, 'not passed')).toMatchObject({ screen: 'next' })
  expect(words(study, runs, 'not passed')).toContain('not confirmed')
  expect(words(study, runs, 'not yet')).toBe(words(study, runs))
  expect(words(study, [...runs, run('W05', 'planned', 'confirmation')], 'not yet')).toBe('Coat W05')
})
