import { demoScenario } from '../../../shared/process/demo-scenario.ts'

/** The model of the demo's sweep: main effects, both bends, and speed with time. */
export const demoModel = 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time'

/** The 18 wafers of the demo's first stage as a table, with two of them exchanged, counted from 0. */
export function demoTable(seed: number, swapped?: readonly [number, number]) {
  const runs = demoScenario(seed).stages[0]?.runs ?? []
  const means = runs.map(
    ({ readings }) => readings.reduce((sum, { valueNm }) => sum + valueNm, 0) / readings.length,
  )
  const [a, b] = swapped ?? [0, 0]
  const thickness = means.map((mean, i) => means[i === a ? b : i === b ? a : i] ?? mean)
  const factors = (['speed', 'time', 'bake'] as const).map((name) => ({
    name,
    values: runs.map(({ settings }) => settings[name]),
  }))
  return { rows: runs.length, columns: [...factors, { name: 'thickness', values: thickness }] }
}
