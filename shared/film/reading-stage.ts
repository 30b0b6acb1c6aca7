import { readingStages } from '../contract/choices.ts'
import type { OtherStage } from '../contract/results/film.ts'
import type { Reading, ReadingStage, Study } from '../contract/things.ts'

/** What is read unless another quantity is named; its values are in nm. */
export const thickness = 'thickness'

/** The stage that a reading is taken for: its own, or that of the study's target where nobody has said. */
export function stageOf(
  { takenAfter }: Pick<Reading, 'takenAfter'>,
  { targetAfter }: Pick<Study, 'targetAfter'>,
): ReadingStage {
  return takenAfter ?? targetAfter
}

/**
 * Thickness readings of a stage, that of the study's target unless another is named, and how many there are of each other
 * one, in the order of the process: a film loses solvent in the bake and height in the developer, so that they do not mix.
 */
export function ofStage<R extends Pick<Reading, 'takenAfter'>>(
  readings: readonly R[],
  study: Pick<Study, 'targetAfter'>,
  stage: ReadingStage = study.targetAfter,
): { counting: R[]; otherStages: OtherStage[] } {
  const counting = readings.filter((reading) => stageOf(reading, study) === stage)
  const otherStages = readingStages.flatMap((takenAfter): OtherStage[] => {
    if (takenAfter === stage) return []
    const count = readings.filter((reading) => stageOf(reading, study) === takenAfter).length
    return count > 0 ? [{ takenAfter, count }] : []
  })
  return { counting, otherStages }
}
