import type { Counted } from '../../../shared/contract/results/rehearsal.ts'
import type { Settings } from '../../../shared/contract/things.ts'
import { counted } from '../../../shared/counted.ts'
import type { FilmParameters } from '../../../shared/process/invented-film.ts'
import { usualFilm } from '../../../shared/process/invented-film.ts'
import { seeded, seedOf } from '../../../shared/random.ts'
import { inventedLab, speedAlone, speedAndRamp } from './invented-lab.ts'
import { byGrid, byRatio, ourWay, planOf, type Task, type Way } from './ways-to-recipe.ts'

/** One cassette. */
const budget = 25
const target = 1500

const speeds = (n: number) => Array.from({ length: n }, (_, i) => 2000 + (2500 * i) / (n - 1))

/**
 * What is asked of the invented film. For `thickness` alone the speed is to be found. For `evenness` too (half range over
 * mean at most 0.7 %) there is also the ramp, by which a bowl becomes flatter at the same thickness; the resist is
 * thicker than its data sheet says, so that the usual ramp of 1000 rpm/s, which a correction of the speed keeps, is
 * seldom even enough. The data sheet’s speed of 3250 rpm is where a correction by hand begins.
 */
const questions = {
  thickness: {
    factors: speedAlone,
    uniformityLimit: null,
    thicker: 1,
    scatter: 0.05,
    ways: {
      own: ourWay({ plan: planOf({ kind: 'full' }) }),
      ratio: byRatio({ start: { speed: 3250 } }),
      grid: byGrid({ grid: speeds(6).map((speed): Settings => ({ speed })) }),
    },
  },
  evenness: {
    factors: speedAndRamp,
    uniformityLimit: 0.7,
    thicker: 1.05,
    scatter: 0.04,
    ways: {
      // Corners and centre.
      own: ourWay({ plan: planOf({ kind: 'full', centre: 1 }, { levels: 2 }) }),
      ratio: byRatio({ start: { speed: 3250, ramp: 1000 } }),
      grid: byGrid({
        grid: speeds(5).flatMap((speed) => [500, 1500, 3000].map((ramp): Settings => ({ speed, ramp }))),
      }),
    },
  },
} as const

export type WayName = 'own' | 'ratio' | 'grid'

/** What came of so many studies that went one way. Wafers are infinite where a cassette did not suffice. */
export type WaySum = {
  confirmed: Counted
  median: number
  ninth: number
  /** Of those confirmed: the film of a day without deviation is out of tolerance, or less even than allowed. */
  wrong: Counted
  /** Share of good wafers on later days at what was confirmed, on average over the studies. */
  yield: number
}

export type Comparison = Record<WayName, WaySum>

/** A film a study: as thick, as steep and as slow to dry as resists of one data sheet may be. */
function filmOf(
  seed: number,
  { thicker, scatter }: { thicker: number; scatter: number },
): Partial<FilmParameters> {
  const random = seeded(seedOf(seed, 'film'))
  const normal = () => Math.max(-2, Math.min(2, random.normal()))
  return {
    referenceNm: usualFilm.referenceNm * thicker * (1 + scatter * normal()),
    exponent: usualFilm.exponent + 0.015 * normal(),
    dryingTime: usualFilm.dryingTime * (1 + 0.15 * normal()),
  }
}

/**
 * Sends so many studies on invented films the three ways to a recipe of 1500 nm that is confirmed on three days, each with
 * the same film, the same days and the same 25 wafers.
 *
 * @param options.tolerance nm
 * @param options.aDay wafers on each day of the confirmation
 */
export function compareWays(options: {
  question: keyof typeof questions
  tolerance: number
  aDay: number
  times: number
}): Comparison {
  const { question, tolerance, aDay, times } = options
  const { factors, uniformityLimit, ways, ...film } = questions[question]
  const task: Task = { target, tolerance, days: [aDay, aDay, aDay], budget }
  const went = (way: Way): WaySum => {
    const studies = Array.from({ length: times }, (_, i) => {
      const lab = inventedLab({
        seed: i + 1,
        film: filmOf(i + 1, film),
        factors: [...factors],
        uniformityLimit,
      })
      const found = way(lab, task)
      if (found === null) return null
      const { mean, uneven } = lab.truth(found.settings)
      const wrong =
        Math.abs(mean - target) > tolerance || (uniformityLimit !== null && uneven > uniformityLimit)
      return { wafers: found.wafers, wrong, good: lab.yieldAt(found.settings, task, 100) }
    })
    const done = studies.filter((study) => study !== null)
    const wafers = studies.map((study) => study?.wafers ?? Number.POSITIVE_INFINITY).sort((a, b) => a - b)
    return {
      confirmed: counted(studies.map((study) => study !== null)),
      median: wafers[Math.ceil(times / 2) - 1] as number,
      ninth: wafers[Math.ceil(0.9 * times) - 1] as number,
      wrong: counted(done.map((study) => study.wrong)),
      yield: done.reduce((sum, { good }) => sum + good, 0) / done.length,
    }
  }
  return { own: went(ways.own), ratio: went(ways.ratio), grid: went(ways.grid) }
}

/** Binomial standard error of a share. */
export const errorOf = ({ share, of }: Counted) =>
  Math.sqrt(((share ?? 0) * (1 - (share ?? 0))) / Math.max(1, of))

/** A comparison as lines of text. */
export const inLines = (comparison: Comparison): string[] =>
  Object.entries(comparison).map(([name, { confirmed, median, ninth, wrong, yield: good }]) => {
    const percent = (one: Counted) =>
      `${(100 * (one.share ?? 0)).toFixed(1)} ± ${(100 * errorOf(one)).toFixed(1)} %`
    return (
      `${name.padEnd(5)} confirmed ${percent(confirmed)}, wafers ${median} (nine in ten ${ninth}), ` +
      `wrongly ${percent(wrong)} (${wrong.count} of ${wrong.of}), good later ${(100 * good).toFixed(1)} %`
    )
  })
