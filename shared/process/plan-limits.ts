import type { Factor, Segment, Settings } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { programOfRun } from './run-program.ts'
import { type CheckInput, checkProgram } from './spin-program.ts'

/**
 * The program check of every planned run, before the plan is made: one sentence a kind of finding, with the number of
 * runs that it concerns and the first of them in words.
 */
export function planOutsideLimits(options: {
  runs: readonly { settings: Settings }[]
  factors: readonly Factor[]
  study: { program: Segment[]; bakeTemperature: number; bakeTime: number }
  tools: Omit<CheckInput, 'segments' | 'bake'>
}): Problem[] {
  const { runs, factors, study, tools } = options
  const found = new Map<string, { count: number; message: string }>()
  for (const { settings } of runs) {
    const { program, bakeTemperature, bakeTime } = programOfRun({
      study,
      factors: [...factors],
      settings,
    })
    const bake = { temperature: bakeTemperature, time: bakeTime }
    const { findings } = checkProgram({ ...tools, segments: program, bake })
    const outside = findings.filter(({ severity }) => severity === 'outside')
    for (const code of new Set(outside.map((finding) => finding.code))) {
      const message = outside.find((finding) => finding.code === code)?.message ?? ''
      const before = found.get(code)
      found.set(code, { count: (before?.count ?? 0) + 1, message: before?.message ?? message })
    }
  }
  return [...found].map(([code, { count, message }]) => ({
    code,
    message: `${count === runs.length ? 'All runs' : `${count} of ${runs.length} runs`} would be outside. ${message}`,
  }))
}
