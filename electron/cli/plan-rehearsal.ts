import type { Plan } from '../../shared/contract/results/plan.ts'
import type { Rehearsal } from '../../shared/contract/results/rehearsal.ts'
import { type Answer, refuse } from '../../shared/problem.ts'
import { rehearse } from '../../shared/rehearsal/rehearse.ts'
import { studyDefaults } from '../../shared/study-defaults.ts'
import { type Given, strayOption, taker } from './options.ts'

/** Options of `plan` that carry it out on an invented film. */
export const rehearsalOptions = {
  rehearse: { value: 'N', help: 'carries the plan out N times on an invented film; needs --target' },
  target: { value: 'NM', help: 'rehearsal: the thickness to reach, nm' },
  tolerance: { value: 'NM', help: 'rehearsal: how far from it the film may be, nm' },
}

/** The plan rehearsed as the options say, each block a day; null where they ask for none. */
export function rehearsalOf(given: Given, { factors, runs, seed }: Plan): Answer<Rehearsal | null> {
  if (!given.has('rehearse')) return strayOption(given, { target: 'rehearse', tolerance: 'rehearse' })
  if (!given.has('target'))
    return refuse('badOption', '--rehearse needs --target, the thickness to reach in nm.', {
      column: 'target',
    })
  const { problems, number } = taker(given)
  const times = number('rehearse', { whole: true, atLeast: 2, atMost: 2000 }, 200)
  const targetNm = number('target', { above: 0 }, 1)
  const toleranceNm = given.has('tolerance') ? number('tolerance', { above: 0 }, 1) : null
  if (problems.length > 0) return { ok: false, problems }
  const lot = factors.find(({ role }) => role === 'lot')
  return rehearse({
    wafers: runs.map(({ settings, block, plateVisit }) => ({
      settings,
      plateVisit,
      session: `day ${block}`,
      lot: String((lot && settings[lot.name]) ?? ''),
    })),
    factors,
    study: { ...studyDefaults, coater: null },
    targetNm,
    toleranceNm,
    times,
    seed,
  })
}

/** What the rehearsal says, marked as what it is. */
export function rehearsalInWords(rehearsal: Rehearsal | null): string[] {
  if (rehearsal === null) return []
  const { words, problems, model } = rehearsal
  return [
    [
      'Rehearsal on an invented film: nothing here was measured.',
      ...words,
      ...problems.map(({ message }) => message),
      `Fitted: ${model}`,
    ].join('\n'),
  ]
}
