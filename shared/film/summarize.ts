import type { FilmSummary, OtherStage } from '../contract/results/film.ts'
import { areaWeights } from './area-weights.ts'
import { fitShape } from './shape.ts'
import { pooledRepeatability, siteMeans } from './site-means.ts'
import { beyondEdge, measuredArea, radiusOf, type Substrate } from './substrate.ts'
import { type GaugeSpread, meanUncertainty } from './uncertainty.ts'
import { nonUniformityOf } from './uniformity.ts'

/** One reading as it comes to the summary: `row` says where it stands, positions are in mm from the centre. */
export type FilmReading = {
  row: number
  /** Readings of one site are repeats: its value is their mean. Without one a reading is a site of its own. */
  site?: number | string | null
  x: number | null
  y: number | null
  value: number
  /** Reason for which someone has left it out. */
  excluded?: string | null
}

export type FilmInput = {
  id: string
  readings: readonly FilmReading[]
  /** What is known of the gauge that read it. */
  gauge?: GaugeSpread | null
  /** Readings at other stages, which are not among these. */
  otherStages?: OtherStage[]
} & Substrate

/** A residual on fewer degrees of freedom can come out near zero by chance; the limit is ours, no source. */
const fewestResidualDf = 2

/**
 * Summarizes the readings of one substrate: mean, spread, shape, and what was left out with the reason.
 * Thickness comes out in the unit of the values, non-uniformity in percent, shape terms as fractions of the
 * fitted constant. They are fitted over the substrate's radius; over that of the circle around it where it is a
 * rectangle, since the film goes by the distance from the axis that it was spun about.
 *
 * The value of a site is the mean of its repeats that count; all else is of these values. The repeats give the gauge's
 * repeatability as it was here.
 *
 * Zero and negative readings and sites beyond the edge exclusion are left out. Unless every reading that is
 * left has a position, there is only the mean and the spread.
 *
 * `standardUncertainty` is that of the mean from site scatter: the residual standard deviation after the shape
 * fit over √n, since fixed sites on a smooth bowl are no independent observations of one quantity (JCGM
 * 100:2008, 4.2). Without positions, or where the shape leaves fewer than 2 degrees of freedom, too few to know a
 * scatter by, it is the standard deviation of the sites over √n, which is wider on a smooth film. `uncertainty` adds
 * what is known of the gauge.
 */
export function summarizeFilm(input: FilmInput): FilmSummary {
  const excluded: FilmSummary['excluded'] = []
  const kept: FilmReading[] = []
  for (const reading of input.readings) {
    const reason = reasonAgainst(reading, input)
    if (reason === null) kept.push(reading)
    else excluded.push({ row: reading.row, reason })
  }

  const sites = siteMeans(kept)
  const values = sites.map((site) => site.value)
  const { n, mean, standardDeviation, nonUniformity } = spreadOf(values)
  const sited = sites.flatMap(({ x, y, value }) => (x === null || y === null ? [] : [{ x, y, value }]))
  const onMap = n > 0 && sited.length === n
  const shapeRadius = radiusOf(input)
  const { shape, residualStandardDeviation, df } = fitShape(onMap ? sited : [], shapeRadius)
  const scatter =
    residualStandardDeviation !== null && df >= fewestResidualDf
      ? { standardDeviation: residualStandardDeviation, df }
      : standardDeviation !== null
        ? { standardDeviation, df: n - 1 }
        : null
  const gauge = input.gauge ?? null
  const repeatability = pooledRepeatability(sites, gauge?.repeatability ?? null)
  return {
    id: input.id,
    n,
    mean,
    areaWeightedMean: onMap
      ? sum(areaWeights(sited, measuredArea(input)).map((weight, i) => weight * (values[i] as number)))
      : null,
    standardDeviation,
    standardUncertainty: scatter === null ? null : scatter.standardDeviation / Math.sqrt(n),
    uncertainty: meanUncertainty({
      mean,
      scatter,
      readingsBySite: sites.map(({ count }) => count),
      measured: repeatability,
      gauge,
    }),
    repeatability,
    otherStages: input.otherStages ?? [],
    nonUniformity,
    shape,
    shapeRadius: onMap ? shapeRadius : null,
    excluded,
    withExcluded: withExcluded(input.readings, kept.length),
  }
}

/** Mean and spread of values in the unit of the values, non-uniformity in percent. */
function spreadOf(values: readonly number[]) {
  const n = values.length
  const mean = n > 0 ? sum(values) / n : null
  const standardDeviation =
    mean !== null && n > 1 ? Math.sqrt(sum(values.map((value) => (value - mean) ** 2)) / (n - 1)) : null
  return {
    n,
    mean,
    standardDeviation,
    nonUniformity: nonUniformityOf(values, mean, standardDeviation),
  }
}

function withExcluded(readings: readonly FilmReading[], counted: number): FilmSummary['withExcluded'] {
  const all = readings.filter(({ value }) => value > 0)
  return all.length > counted ? spreadOf(siteMeans(all).map(({ value }) => value)) : null
}

/** Why a reading is left out, or null where it counts. */
function reasonAgainst(reading: FilmReading, substrate: Substrate): string | null {
  if (reading.excluded) return reading.excluded
  if (reading.value === 0) return 'The reading is zero.'
  if (reading.value < 0) return 'The reading is negative.'
  const { x, y } = reading
  return x === null || y === null ? null : beyondEdge(substrate, { x, y })
}

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0)
