import type { Budget } from '../contract/results.ts'

/** What the bench costs, from the study and its hot plate. Volumes in mL, times in minutes, rates in °C/min. */
export type BenchFigures = {
  /** Resist of one coat. */
  coatMl: number
  /** Resist to purge the line, once. */
  purgeMl: number
  dummies: number
  spares: number
  /** Coat, bake and cool one substrate. */
  coatMinutes: number
  /** Read one substrate. */
  readMinutes: number
  /** Plate setting of runs that do not say their own, °C. */
  holdBakeTemperature: number
  /** Null without a hot plate whose rates are known. */
  hotPlate: { heatRate: number; coolRate: number; soak: number } | null
}

/** Rates that stand until those of the plate are known: one without active cooling (common practice, no source). */
export const usualPlateRates = { heatRate: 6, coolRate: 1.5, soak: 10 }

/** What coating, baking and reading cost in a study. */
export function benchFigures(
  study: Omit<BenchFigures, 'holdBakeTemperature'> & { bakeTemperature: number },
): BenchFigures {
  const { coatMl, purgeMl, dummies, spares, coatMinutes, readMinutes, bakeTemperature, hotPlate } = study
  return {
    coatMl,
    purgeMl,
    dummies,
    spares,
    coatMinutes,
    readMinutes,
    holdBakeTemperature: bakeTemperature,
    hotPlate: hotPlate && {
      heatRate: hotPlate.heatRate,
      coolRate: hotPlate.coolRate,
      soak: hotPlate.soak,
    },
  }
}

/**
 * Substrates, resist and time of a list of runs.
 *
 * @param options.runs in run order; `plateTemperature` in °C, null where bake temperature is no factor
 * @returns `plateChanges` is null where no run sets the plate or there is no plate
 */
export function budgetOf(options: {
  runs: { plateTemperature: number | null }[]
  bench: BenchFigures
}): Budget {
  const { runs, bench } = options
  const coats = runs.length + bench.dummies
  const plate = platePart(runs, bench)
  return {
    substrates: coats + bench.spares,
    resistMl: tidy(coats * bench.coatMl + bench.purgeMl),
    minutes: tidy(coats * bench.coatMinutes + runs.length * bench.readMinutes + plate.minutes),
    plateMinutes: tidy(plate.minutes),
    plateChanges: plate.changes,
    assumptions: [...assumptionsOf(runs.length, bench), ...plate.assumptions],
  }
}

/** Minutes from one plate setting to another, °C, with the soak at the new one; 0 where they are the same. */
export function plateWait(from: number, to: number, hotPlate: NonNullable<BenchFigures['hotPlate']>): number {
  if (from === to) return 0
  const travel = to > from ? (to - from) / hotPlate.heatRate : (from - to) / hotPlate.coolRate
  return travel + hotPlate.soak
}

function platePart(
  runs: { plateTemperature: number | null }[],
  bench: BenchFigures,
): { minutes: number; changes: number | null; assumptions: string[] } {
  const { hotPlate } = bench
  if (runs.every((run) => run.plateTemperature === null))
    return { minutes: 0, changes: null, assumptions: [] }
  if (hotPlate === null)
    return {
      minutes: 0,
      changes: null,
      assumptions: ['No hot plate is chosen, so the time to heat and cool it is not counted.'],
    }
  const temperatures = runs.map((run) => run.plateTemperature ?? bench.holdBakeTemperature)
  let minutes = 0
  let changes = 0
  for (let i = 1; i < temperatures.length; i++) {
    const wait = plateWait(temperatures[i - 1] as number, temperatures[i] as number, hotPlate)
    minutes += wait
    if (temperatures[i] !== temperatures[i - 1]) changes++
  }
  return {
    minutes,
    changes,
    assumptions: [
      `The plate heats at ${hotPlate.heatRate} °C/min, cools at ${hotPlate.coolRate} °C/min and soaks ` +
        `${hotPlate.soak} min at each new setting; nothing else is done meanwhile.`,
      'The first heat-up of the plate is not counted.',
    ],
  }
}

function assumptionsOf(runs: number, bench: BenchFigures): string[] {
  return [
    `Substrates: ${runs} runs, ${bench.dummies} dummies, ${bench.spares} spares. Spares are neither coated nor read.`,
    `Resist: ${bench.coatMl} mL for each of ${runs + bench.dummies} coats (dummies included) and ` +
      `${bench.purgeMl} mL to purge the line.`,
    `Time: ${bench.coatMinutes} min to coat, bake and cool one substrate (dummies included), ` +
      `${bench.readMinutes} min to read one (dummies are not read), one after another.`,
  ]
}

/** Sums of decimals shown without binary noise. */
function tidy(value: number): number {
  return Number(value.toPrecision(12))
}
