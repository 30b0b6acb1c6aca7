import type { NewRun } from './predictor.ts'
import type { RegionAverage } from './region-average.ts'

/** How well the mean over the region is known while runs are added to a batch, one after another. */
export type Knowledge = {
  /** Average variance of the mean, with the runs taken so far. */
  variance(): number
  /** How much of it a further run takes away; runs at the same plate setting are of one visit. */
  reduction(run: NewRun, plate: string): number
  take(run: NewRun, plate: string): void
}

/**
 * The covariance of the coefficients, of the session's effect and of those of its visits to the plate, all of them
 * unknowns, brought up to date with each run (R. E. Kalman, J. Basic Engineering 82, 1960, 35–45, with nothing that
 * changes in time). So a second run of the same day is worth less than the first where days differ.
 */
export function knowledgeOf({ moments, variance }: RegionAverage): Knowledge {
  const p = moments.length
  /** Rows of the covariance: whitened coefficients, then the session once a run is in it, then the visits. */
  const c: number[][] = Array.from({ length: p }, (_, i) =>
    Array.from({ length: p }, (_, j) => Number(i === j)),
  )
  const places = new Map<string, number>()
  let left = variance

  /** Place of an effect; one that no run shares yet has none. */
  const placesOf = (plate: string) => [places.get('session'), places.get(`plate ${plate}`)]
  /** Covariance of every unknown with the reading, and the variance of the reading. */
  function look({ whitened, noise, session, visit }: NewRun, plate: string) {
    const [own, at] = placesOf(plate)
    const along = c.map((row) => {
      let sum = (own === undefined ? 0 : (row[own] as number)) + (at === undefined ? 0 : (row[at] as number))
      for (let k = 0; k < p; k++) sum += (row[k] as number) * (whitened[k] as number)
      return sum
    })
    let spread = noise - (own === undefined ? 0 : session) - (at === undefined ? 0 : visit)
    for (let k = 0; k < p; k++) spread += (along[k] as number) * (whitened[k] as number)
    for (const place of [own, at]) if (place !== undefined) spread += along[place] as number
    return { along, spread }
  }
  function taken({ along, spread }: ReturnType<typeof look>): number {
    let sum = 0
    for (let i = 0; i < p; i++) {
      const row = moments[i] as number[]
      for (let j = 0; j < p; j++) sum += (along[i] as number) * (row[j] as number) * (along[j] as number)
    }
    return sum / spread
  }
  function add(name: string, variance: number) {
    if (places.has(name)) return
    for (const row of c) row.push(0)
    c.push([...c.map(() => 0), variance])
    places.set(name, c.length - 1)
  }
  return {
    variance: () => left,
    reduction: (run, plate) => taken(look(run, plate)),
    take(run, plate) {
      add('session', run.session)
      add(`plate ${plate}`, run.visit)
      const found = look(run, plate)
      left -= taken(found)
      const { along, spread } = found
      c.forEach((row, i) => {
        for (let j = 0; j < row.length; j++)
          row[j] = (row[j] as number) - ((along[i] as number) * (along[j] as number)) / spread
      })
    },
  }
}
