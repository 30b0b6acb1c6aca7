import { compareGroups } from '../../../shared/model/lots.ts'
import { seeded } from '../../../shared/random.ts'
import { tableOf } from './some-runs.ts'

/** Truth of the invented lots: B is 1.8 % thicker than A, C 1.3 % thinner; thickness falls with speed to the 0.505. */
const truth = { B: 1.018, C: 0.987 } as const
const exponent = 0.505

/**
 * One study of lot A over speeds, and on another day a check of B and of C, four wafers each beside four of A, old, new,
 * new, old; days differ by 0.5 %, wafers by 0.37 %. Whether the shift of each lot, its corrected speed on any day and its
 * speed beside A lie within their 95 % intervals, and whether it was called equal within ±1 %.
 */
export function lotsCorrected(seed: number) {
  const random = seeded(seed)
  const runs: { lot: string; speed: number; session: string; thickness: number }[] = []
  const coat = (lot: string, factor: number, speed: number, session: string, day: number) =>
    runs.push({
      lot,
      speed,
      session,
      thickness: 1500 * factor * (speed / 3250) ** -exponent * Math.exp(day + 0.0037 * random.normal()),
    })
  const study = 0.005 * random.normal()
  for (const speed of [2000, 2500, 3250, 3250, 3250, 4000, 4500]) coat('A', 1, speed, 'study', study)
  for (const lot of ['B', 'C'] as const) {
    const day = 0.005 * random.normal()
    for (const own of ['A', lot, lot, 'A', 'A', lot, lot, 'A'])
      coat(own, own === 'A' ? 1 : truth[lot], 3250, `check of ${lot}`, day)
  }
  const answer = compareGroups({
    table: tableOf({
      lot: runs.map(({ lot }) => lot),
      speed: runs.map(({ speed }) => speed),
      session: runs.map(({ session }) => session),
      thickness: runs.map(({ thickness }) => thickness),
    }),
    model: 'log(thickness) ~ log(speed)',
    by: 'lot',
    target: 1500,
    margin: 0.01,
    overDays: { thickness: true },
  })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  const { reference, shifts } = answer.value
  return shifts.map(({ group, lower, upper, equivalent, ...speeds }) => {
    const factor = truth[group as 'B' | 'C']
    const within = (value: number, low: number | null, high: number | null) =>
      (low as number) <= value && value <= (high as number)
    const corrected = (from: number) => from * factor ** (1 / exponent)
    return {
      shift: within(factor, lower, upper),
      speed: within(corrected(3250), speeds.speedLower, speeds.speedUpper),
      beside: within(corrected(reference.speedFor as number), speeds.besideLower, speeds.besideUpper),
      narrower:
        (speeds.besideUpper as number) - (speeds.besideLower as number) <
        (speeds.speedUpper as number) - (speeds.speedLower as number),
      equivalent,
    }
  })
}

/** How many of the studies' lots are corrected within their intervals, and called equal. */
export function countCorrected(studies: number) {
  const all = Array.from({ length: studies }, (_, i) => lotsCorrected(i + 1)).flat()
  const count = (of: (each: (typeof all)[number]) => boolean) => all.filter(of).length
  return {
    of: all.length,
    shifts: count(({ shift }) => shift),
    speeds: count(({ speed }) => speed),
    beside: count(({ beside }) => beside),
    narrower: count(({ narrower }) => narrower),
    equal: count(({ equivalent }) => equivalent === true),
    notJudged: count(({ equivalent }) => equivalent === null),
  }
}
