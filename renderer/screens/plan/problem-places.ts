import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import type { Problem } from '../../../shared/problem.ts'

/** Every setting of a design has a field of its own. */
const designFields = Object.keys({
  kind: true,
  replicates: true,
  centre: true,
  blocks: true,
  seed: true,
  sigma: true,
  power: true,
  model: true,
  fraction: true,
  star: true,
  runs: true,
  criterion: true,
  forbid: true,
  keep: true,
  visits: true,
  varianceRatio: true,
  visitOrder: true,
  sessions: true,
  reference: true,
  reading: true,
  start: true,
} satisfies Record<keyof DesignSettings, true>)

/** Place of the factor that a problem is about: named by the factor, or by its place in the arguments; −1 for none. */
export function factorOf(problem: Problem, factors: readonly Factor[]): number {
  const place = /^factors\.(\d+)/.exec(problem.column ?? '')
  if (place) return Number(place[1])
  return factors.findIndex((factor) => factor.name === problem.column)
}

/** The design field that a problem is about, or null. */
export function designFieldOf(problem: Problem): string | null {
  const field = (problem.column ?? '').replace(/^design\./, '')
  return designFields.includes(field) ? field : null
}

/** Problems that belong to no row and no field. */
export function otherProblems(problems: readonly Problem[], factors: readonly Factor[]): Problem[] {
  return problems.filter((problem) => factorOf(problem, factors) < 0 && designFieldOf(problem) === null)
}
