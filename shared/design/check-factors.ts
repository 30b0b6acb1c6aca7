import type { Factor } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { gridOf, settle, stepsWithin } from './code.ts'

/** Everything that is wrong with the factors of a design; each problem names its factor as the column. */
export function checkFactors(factors: readonly Factor[]): Problem[] {
  if (factors.length === 0)
    return [{ code: 'noFactors', message: 'A plan needs at least one factor: name what is to be varied.' }]
  return [...duplicateNames(factors), ...factors.flatMap(checkFactor)]
}

function duplicateNames(factors: readonly Factor[]): Problem[] {
  const seen = new Set<string>()
  const problems: Problem[] = []
  for (const { name } of factors) {
    if (seen.has(name))
      problems.push({
        code: 'duplicateFactor',
        message: `Two factors are called ‘${name}’. Give each a name of its own.`,
        column: name,
      })
    seen.add(name)
  }
  return problems
}

function checkFactor(factor: Factor): Problem[] {
  const problem = (code: string, message: string) => [{ code, message, column: factor.name }]
  const name = factor.name
  if (factor.kind === 'categorical') return checkLevelNames(factor)
  const { low, high } = factor
  if (low === null || high === null || !Number.isFinite(low) || !Number.isFinite(high))
    return problem('noRange', `${name} needs a low and a high end.`)
  if (low >= high)
    return problem('emptyRange', `${name}: the low end ${low} must be below the high end ${high}.`)
  if (factor.scale === 'log' && low <= 0)
    return problem(
      'logOfNothing',
      `${name}: a log scale needs a low end above 0, and it is ${low}. Use the linear scale or raise it.`,
    )
  if (!Number.isInteger(factor.levels) || factor.levels < 2)
    return problem('oneLevel', `${name} has ${factor.levels} level; to see its effect it needs at least 2.`)
  if (factor.step === null) return []
  if (!(factor.step > 0)) return problem('badStep', `${name}: the step must be above 0.`)
  if (stepsWithin(factor) < 1)
    return problem(
      'stepTooLarge',
      `${name}: the step ${factor.step} is larger than the range from ${low} to ${high}.`,
    )
  const reachable = new Set(gridOf(factor).map((coded) => settle(factor, coded).setting)).size
  if (reachable < factor.levels)
    return problem(
      'levelsCoincide',
      `${name}: ${factor.levels} levels rounded to a step of ${factor.step} leave only ${reachable} different ` +
        'settings. Take fewer levels or a smaller step.',
    )
  return []
}

function checkLevelNames(factor: Factor): Problem[] {
  const { name, levelNames } = factor
  if (levelNames.length < 2)
    return [
      {
        code: 'oneLevel',
        message: `${name} has ${levelNames.length === 1 ? 'one level' : 'no levels'}; to compare it needs at least 2.`,
        column: name,
      },
    ]
  const twice = levelNames.find((level, i) => levelNames.indexOf(level) !== i)
  return twice === undefined
    ? []
    : [{ code: 'duplicateLevel', message: `${name} has the level ‘${twice}’ twice.`, column: name }]
}
