import type { Study } from '../../../shared/contract/things.ts'
import type { BenchFigures } from '../../../shared/process/budget.ts'

/** What coating, baking and reading cost in this study. */
export function benchFigures(study: Study): BenchFigures {
  const { coatMl, purgeMl, dummies, spares, coatMinutes, readMinutes, hotPlate } = study
  return {
    coatMl,
    purgeMl,
    dummies,
    spares,
    coatMinutes,
    readMinutes,
    holdBakeTemperature: study.bakeTemperature,
    hotPlate: hotPlate && {
      heatRate: hotPlate.heatRate,
      coolRate: hotPlate.coolRate,
      soak: hotPlate.soak,
    },
  }
}
