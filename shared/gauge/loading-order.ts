import type { GaugePlace, GaugeStudy } from '../contract/gauges.ts'
import { seeded } from '../random.ts'

export type Loading = Omit<GaugePlace, 'scan'>

/**
 * The loadings of a study in the order in which they are made: in rounds, every operator reading every wafer once in a
 * round, in a new order each time. A wafer so leaves the stage between its loadings, and a drift falls on all alike.
 */
export function loadingOrder(
  study: Pick<GaugeStudy, 'wafers' | 'operators' | 'reloads' | 'seed'>,
): Loading[] {
  const random = seeded(study.seed)
  const numbers = (names: readonly string[]) => names.map((_, i) => i + 1)
  return Array.from({ length: study.reloads }, (_, i) => i + 1).flatMap((reload) =>
    random
      .shuffled(numbers(study.operators))
      .flatMap((operator) =>
        random.shuffled(numbers(study.wafers)).map((wafer) => ({ wafer, operator, reload })),
      ),
  )
}
