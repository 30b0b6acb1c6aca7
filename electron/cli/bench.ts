import { type BenchFigures, benchFigures, usualPlateRates } from '../../shared/process/budget.ts'
import { studyDefaults } from '../../shared/study-defaults.ts'

/** What a bench costs where nobody has said: the figures of a new study, and a slow hot plate. */
export const usualBench = (): BenchFigures => benchFigures({ ...studyDefaults, hotPlate: usualPlateRates })
