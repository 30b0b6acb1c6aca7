import { checkCodes } from '../contract/choices.ts'
import type { Finding } from '../contract/results/check.ts'
import type { Factor, Segment, Settings } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { type CheckInput, checkProgram } from './check-program.ts'
import { programOfRun } from './run-program.ts'

/**
 * The program check of every planned run, before the plan is made: one sentence a kind of finding, outside or a warning, with the number of
 * runs that it concerns and the first of them in words.
 */
export function planOutsideLimits(options: {
  runs: readonly { settings: Settings }[]
  factors: readonly Factor[]
  study: { program: Segment[]; bakeTemperature: number; bakeTime: number }
  tools: Omit<CheckInput, 'segments' | 'bake'>
}): Problem[] {
  const { runs, factors, study, tools } = options
  const found = new Map<string, Pick<Finding, 'code' | 'severity' | 'message'> & { count: number }>()
  for (const { settings } of runs) {
    const { program, bakeTemperature, bakeTime } = programOfRun({
      study,
      factors: [...factors],
      settings,
    })
    const bake = { temperature: bakeTemperature, time: bakeTime }
    const { findings } = checkProgram({ ...tools, segments: program, bake })
    const inRun = new Set<string>()
    for (const { code, severity, message } of findings) {
      const key = `${severity} ${code}`
      const before = found.get(key)
      if (!inRun.has(key))
        found.set(key, { code, severity, message, ...before, count: (before?.count ?? 0) + 1 })
      inRun.add(key)
    }
  }
  const told = [...found.values()].map(({ code, severity, message, count }) => {
    const which = count === runs.length ? 'All runs' : `${count} of ${runs.length} runs`
    const what = severity === 'outside' ? 'would be outside' : 'would be coated with a warning'
    return { code, severity, message: `${which} ${what}. ${message}` }
  })
  return checkCodes.flatMap((code) =>
    (['outside', 'warning'] as const).flatMap((severity) =>
      told
        .filter((one) => one.code === code && one.severity === severity)
        .map(({ message }) => ({ code, message })),
    ),
  )
}
