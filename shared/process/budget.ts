import type { Budget } from '../contract/results/plan.ts'
import type { PlateAtStart, SiteMapName } from '../contract/things.ts'

/** What the bench costs, from the study and its hot plate. Volumes in mL, times in minutes, rates in °C/min. */
export type BenchFigures = {
  /** Resist of one coat. */
  coatMl: number
  /** Resist to purge the line, once a session. */
  purgeMl: number
  /** In the bottle before the first coat; null where nobody has said. */
  bottleMl: number | null
  /** First in each session. */
  dummies: number
  spares: number
  /** Coat, bake and cool one substrate. */
  coatMinutes: number
  /** Read one substrate, with the sites of the map. */
  readMinutes: number
  siteMap: SiteMapName
  /** Booked for one session; null while nothing is booked. */
  slotHours: number | null
  /** Plate setting of runs that do not say their own, °C. */
  holdBakeTemperature: number
  /** Temperature of the plate when a session begins, °C, unless it is set before. */
  plateAtStart: PlateAtStart
  /** Null without a hot plate whose rates are known. */
  hotPlate: { heatRate: number; coolRate: number; soak: number } | null
}

/** A run as the bench sees it: setting of the plate in °C, null where bake temperature is no factor. */
export type BenchRun = { plateTemperature: number | null; session?: string | null }

/** Rates that stand until those of the plate are known: one without active cooling (common practice, no source). */
export const usualPlateRates = { heatRate: 6, coolRate: 1.5, soak: 10 }

/** What coating, baking and reading cost in a study; of a chosen bottle counts what is left in it. */
export function benchFigures(
  study: Omit<BenchFigures, 'holdBakeTemperature'> & {
    bakeTemperature: number
    bottle?: { restMl: number | null } | null
  },
): BenchFigures {
  const { hotPlate } = study
  return {
    coatMl: study.coatMl,
    purgeMl: study.purgeMl,
    bottleMl: study.bottle ? study.bottle.restMl : study.bottleMl,
    dummies: study.dummies,
    spares: study.spares,
    coatMinutes: study.coatMinutes,
    readMinutes: study.readMinutes,
    siteMap: study.siteMap,
    slotHours: study.slotHours,
    holdBakeTemperature: study.bakeTemperature,
    plateAtStart: study.plateAtStart,
    hotPlate: hotPlate && {
      heatRate: hotPlate.heatRate,
      coolRate: hotPlate.coolRate,
      soak: hotPlate.soak,
    },
  }
}

/** The runs of each session, in order; what has no session makes one of its own. */
export function bySession<R extends BenchRun>(runs: readonly R[]): { session: string | null; runs: R[] }[] {
  const sessions: { session: string | null; runs: R[] }[] = []
  for (const run of runs) {
    const name = run.session ?? null
    const same = sessions.find(({ session }) => session === name)
    if (same) same.runs.push(run)
    else sessions.push({ session: name, runs: [run] })
  }
  return sessions
}

/**
 * Substrates, resist and time of a list of runs. Each session has its dummies, its purge and its opening of the bottle.
 *
 * @param options.runs in run order
 * @returns `plateChanges` is null where no run sets the plate or there is no plate
 */
export function budgetOf(options: { runs: readonly BenchRun[]; bench: BenchFigures }): Budget {
  const { runs, bench } = options
  const sessions = bySession(runs)
  const visits = Math.max(1, sessions.length)
  const coats = runs.length + bench.dummies * visits
  const plate = platePart(sessions, bench)
  const first = firstHeatPart(sessions, bench)
  const purgeMl = tidy(bench.purgeMl * visits)
  const resistMl = tidy(coats * bench.coatMl + purgeMl)
  return {
    substrates: coats + bench.spares,
    resistMl,
    purgeMl,
    openings: visits,
    leftInBottleMl: bench.bottleMl === null ? null : tidy(bench.bottleMl - resistMl),
    minutes: tidy(
      coats * bench.coatMinutes + runs.length * bench.readMinutes + plate.minutes + first.minutes,
    ),
    plateMinutes: tidy(plate.minutes),
    firstHeatMinutes: tidy(first.minutes),
    plateChanges: plate.changes,
    assumptions: [...assumptionsOf(runs.length, visits, bench), ...plate.assumptions, ...first.assumptions],
  }
}

/** Minutes from one plate setting to another, °C, with the soak at the new one; 0 where they are the same. */
export function plateWait(from: number, to: number, hotPlate: NonNullable<BenchFigures['hotPlate']>): number {
  if (from === to) return 0
  const travel = to > from ? (to - from) / hotPlate.heatRate : (from - to) / hotPlate.coolRate
  return travel + hotPlate.soak
}

function platePart(
  sessions: readonly { runs: readonly BenchRun[] }[],
  bench: BenchFigures,
): { minutes: number; changes: number | null; assumptions: string[] } {
  const { hotPlate } = bench
  if (sessions.every(({ runs }) => runs.every((run) => run.plateTemperature === null)))
    return { minutes: 0, changes: null, assumptions: [] }
  if (hotPlate === null)
    return {
      minutes: 0,
      changes: null,
      assumptions: ['No hot plate is chosen, so the time to heat and cool it is not counted.'],
    }
  let minutes = 0
  let changes = 0
  for (const { runs } of sessions) {
    const temperatures = runs.map((run) => run.plateTemperature ?? bench.holdBakeTemperature)
    for (let i = 1; i < temperatures.length; i++) {
      minutes += plateWait(temperatures[i - 1] as number, temperatures[i] as number, hotPlate)
      if (temperatures[i] !== temperatures[i - 1]) changes++
    }
  }
  return {
    minutes,
    changes,
    assumptions: [
      `The plate heats at ${hotPlate.heatRate} °C/min, cools at ${hotPlate.coolRate} °C/min and soaks ` +
        `${hotPlate.soak} min at each new setting; nothing else is done meanwhile.`,
    ],
  }
}

/**
 * Minutes for the plate to travel to its first setting of a session and to soak there; null where it is set before the
 * session, or stands there by itself, or no plate is known.
 *
 * @param first plate setting of the first run, °C; null where bake temperature is no factor
 */
export function firstHeat(
  first: number | null,
  { plateAtStart, hotPlate, holdBakeTemperature }: BenchFigures,
): { from: number; to: number; travel: number; soak: number } | null {
  const to = first ?? holdBakeTemperature
  if (hotPlate === null || plateAtStart === 'set beforehand' || plateAtStart === to) return null
  const travel = plateWait(plateAtStart, to, hotPlate) - hotPlate.soak
  return { from: plateAtStart, to, travel, soak: hotPlate.soak }
}

function firstHeatPart(
  sessions: readonly { runs: readonly BenchRun[] }[],
  bench: BenchFigures,
): { minutes: number; assumptions: string[] } {
  const heats = sessions.flatMap(({ runs }) => firstHeat(runs[0]?.plateTemperature ?? null, bench) ?? [])
  const minutes = heats.reduce((sum, { travel, soak }) => sum + travel + soak, 0)
  if (sessions.length === 0 || bench.hotPlate === null) return { minutes, assumptions: [] }
  const each = sessions.length > 1 ? 'each session' : 'the session'
  if (bench.plateAtStart === 'set beforehand')
    return {
      minutes,
      assumptions: [`The plate is set before ${each} begins, so that nobody waits for it then.`],
    }
  return {
    minutes,
    assumptions: [
      `The plate is at ${bench.plateAtStart} °C when ${each} begins; the first coat waits until it is set and has soaked.`,
    ],
  }
}

function assumptionsOf(runs: number, sessions: number, bench: BenchFigures): string[] {
  const dummies = bench.dummies * sessions
  const each = sessions > 1 ? ` in each of ${sessions} sessions` : ''
  return [
    `Substrates: ${runs} runs, ${bench.dummies} dummies${each}, ${bench.spares} spares. ` +
      'Spares are neither coated nor read.',
    `Resist: ${bench.coatMl} mL for each of ${runs + dummies} coats (dummies included) and ` +
      `${bench.purgeMl} mL to purge the line${each}.`,
    `Time: ${bench.coatMinutes} min to coat, bake and cool one substrate (dummies included), ` +
      `${bench.readMinutes} min to read one (dummies are not read), one after another.`,
  ]
}

/** Sums of decimals shown without binary noise. */
export function tidy(value: number): number {
  return Number(value.toPrecision(12))
}
