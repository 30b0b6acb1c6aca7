import { expect, test } from 'vitest'
import { fitModel } from '../../shared/model/fit.ts'
import { swappedPair } from '../../shared/model/swapped-pair.ts'
import { seeded } from '../../shared/random.ts'
import { demoModel, demoTable } from '../unit/model/demo-sweep.ts'

const pairIn = (table: ReturnType<typeof demoTable>) => {
  const answer = fitModel({ table, model: demoModel })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return swappedPair(answer.value.fitted)
}

test('of 200 studies in which two neighbours that differ by over 3 % are exchanged, 198 are found', () => {
  let found = 0
  for (let seed = 1; seed <= 200; seed++) {
    const means = demoTable(seed).columns.at(-1)?.values as number[]
    const neighbours = means.flatMap((mean, i) =>
      i > 0 && Math.abs(Math.log(mean / (means[i - 1] as number))) > 0.03 ? [i] : [],
    )
    const second = neighbours[seeded(seed + 5000).below(neighbours.length)] as number
    const pair = pairIn(demoTable(seed, [second - 1, second]))
    if (pair?.first === second - 1 && pair.second === second) found++
  }
  expect(found).toBeGreaterThanOrEqual(198)
})

test('of 1000 studies without a mix-up about ten give an alarm', () => {
  let alarms = 0
  for (let seed = 1; seed <= 1000; seed++) if (pairIn(demoTable(seed))) alarms++
  // Binomial with 1000 draws of 1 %: 99.7 % of them lie between 2 and 20.
  expect(alarms).toBeGreaterThanOrEqual(2)
  expect(alarms).toBeLessThanOrEqual(20)
})
