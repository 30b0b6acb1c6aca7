import { meanOf } from '../means.ts'
import { median } from '../model/groups.ts'
import { medianScale } from '../model/robust-weights.ts'
import { grouped } from './grouped.ts'
import type { StudyReading } from './mean-squares.ts'

/**
 * A loading this many robust standard deviations from the others of its wafer is asked about: the median distance
 * over 0.6745 (NIST/SEMATECH e-Handbook 1.3.5.17 takes 3.5; more here, since few loadings know the median badly).
 */
const oddFrom = 8

/** Loadings that lie far from the others of the same wafer by the same operator: a wrong wafer, site or number. */
export function oddLoadings(readings: readonly StudyReading[]): Omit<StudyReading, 'value'>[] {
  const cells = [
    ...grouped(readings, ({ wafer, operator }) => JSON.stringify([wafer, operator])).values(),
  ].map((own) =>
    [...grouped(own, ({ reload }) => reload).values()].flatMap((scans) => {
      const [first] = scans
      return first ? [{ loading: first, mean: meanOf(scans.map(({ value }) => value)) }] : []
    }),
  )
  const distances = cells
    .filter((loadings) => loadings.length > 2)
    .flatMap((loadings) => {
      const middle = median(loadings.map(({ mean }) => mean))
      return loadings.map(({ loading, mean }) => ({ loading, distance: Math.abs(mean - middle) }))
    })
  const usual =
    distances.length > 0 ? medianScale(Float64Array.from(distances, ({ distance }) => distance)) : 0
  return distances
    .filter(({ distance }) => usual > 0 && distance > oddFrom * usual)
    .map(({ loading: { wafer, operator, reload } }) => ({ wafer, operator, reload }))
}
