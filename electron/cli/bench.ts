import type { BenchFigures } from '../../shared/process/budget.ts'
import { studyDefaults } from '../../shared/study-defaults.ts'

/** What a bench costs where nobody has said: the figures of a new study, and a slow hot plate. */
export function usualBench(): BenchFigures {
  const { coatMl, purgeMl, dummies, spares, coatMinutes, readMinutes, bakeTemperature } = studyDefaults
  return {
    coatMl,
    purgeMl,
    dummies,
    spares,
    coatMinutes,
    readMinutes,
    holdBakeTemperature: bakeTemperature,
    // Plausible rates of a plate without active cooling (common practice, no source).
    hotPlate: { heatRate: 6, coolRate: 1.5, soak: 10 },
  }
}
