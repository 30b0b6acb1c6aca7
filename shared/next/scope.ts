import type { PredictionResult } from '../contract/results/fit.ts'
import type { Choice } from '../contract/results/next.ts'

/** The interval for one run and its chance to be in tolerance, in the scope that a choice is made for. */
export function inScope({ scope, prediction, chanceInTolerance }: Choice): {
  interval: [number, number]
  chance: number
} {
  const [interval, chance] = [prediction[scope], chanceInTolerance[scope]]
  if (interval === null || chance === null) throw new Error('a choice without a prediction in its own scope')
  return { interval, chance }
}

/** For which day an interval holds, as words after it. */
export const scopeWords: Record<PredictionResult['scope'], string> = {
  sameSession: 'in this session',
  otherSession: 'on another day',
}

/** The same, with the session named where it has a name. */
export function scopeInWords({
  scope,
  session,
}: {
  scope: PredictionResult['scope']
  session?: string | null | undefined
}): string {
  return scope === 'sameSession' && session ? `in session ${session}` : scopeWords[scope]
}
