import type { Factor, Settings } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import type { Predictor } from './predictor.ts'

/**
 * The region as the model needs it: every column of the model has a factor, numbers where the model computes
 * and its own levels where it does not. A factor that the model does not use stays at its usual tested setting.
 */
export function regionFor(
  region: readonly Factor[],
  predictor: Predictor,
  tested: readonly Settings[],
): Answer<Factor[]> {
  const problems: Problem[] = predictor.columns
    .filter((column) => !region.some((factor) => factor.name === column.name))
    .map(({ name }) => ({
      code: 'missingFactor',
      message: `The model uses ${name}: say over what range or levels it may be set.`,
      column: name,
    }))
  const factors = region.map((factor): Factor => {
    const column = predictor.columns.find(({ name }) => name === factor.name)
    if (column === undefined) return held(factor, tested)
    const asked = column.levels === null ? atOneNumber(factor) : factor
    problems.push(...problemsOf(asked, column.levels))
    return asked
  })
  return problems.length > 0 ? { ok: false, problems } : good(factors)
}

/** A factor of one level whose name is a number, where the model computes with numbers: it is held there. */
function atOneNumber(factor: Factor): Factor {
  const [only = '', second] = factor.levelNames
  const value = Number(only)
  if (factor.kind === 'continuous' || second !== undefined || only.trim() === '' || !Number.isFinite(value))
    return factor
  return { ...factor, kind: 'continuous', low: value, high: value }
}

function problemsOf(factor: Factor, levels: string[] | null): Problem[] {
  const { name } = factor
  const bad = (code: string, message: string) => [{ code, message, column: name }]
  if (factor.kind === 'continuous') {
    if (levels !== null)
      return bad(
        'unknownLevel',
        `${name} has levels by name: ${levels.join(', ')}. Name those to choose from.`,
      )
    const { low, high } = factor
    if (low === null || high === null || low > high)
      return bad('noRange', `${name} needs a low and a high end.`)
    if (factor.scale === 'log' && low <= 0)
      return bad('logOfNothing', `${name}: the log scale needs a low end above 0.`)
    return []
  }
  if (levels === null) return bad('noRange', `${name} is a number: give a range.`)
  if (factor.levelNames.length === 0) return bad('noLevels', `${name} needs at least one level.`)
  const unknown = factor.levelNames.filter((level) => !levels.includes(level))
  if (unknown.length === 0) return []
  return bad('unknownLevel', `${name} has no level ‘${unknown[0]}’ here. There are ${levels.join(', ')}.`)
}

/** The factor held at its middle tested number, or its most tested level. */
function held(factor: Factor, tested: readonly Settings[]): Factor {
  const values = tested.map((settings) => settings[factor.name]).filter((value) => value !== undefined)
  if (factor.kind === 'continuous') {
    const numbers = values.filter((value) => typeof value === 'number').sort((a, b) => a - b)
    const middle = numbers[Math.floor((numbers.length - 1) / 2)] ?? factor.low
    return { ...factor, low: middle, high: middle }
  }
  const counts = new Map<string, number>()
  for (const value of values) counts.set(String(value), (counts.get(String(value)) ?? 0) + 1)
  const [most] = [...counts].sort((a, b) => b[1] - a[1])
  return { ...factor, levelNames: [most?.[0] ?? factor.levelNames[0] ?? ''] }
}
