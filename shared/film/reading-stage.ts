import type { OtherStage } from '../contract/results/film.ts'
import { type Reading, type ReadingStage, readingStages, type Study } from '../contract/things.ts'

/** The stage that a reading is taken for: its own, or that of the study's target where nobody has said. */
export function stageOf(
  { takenAfter }: Pick<Reading, 'takenAfter'>,
  { targetAfter }: Pick<Study, 'targetAfter'>,
): ReadingStage {
  return takenAfter ?? targetAfter
}

/**
 * Thickness readings of the stage that the study's target is meant at, and how many there are of each other one, in the
 * order of the process: a film loses solvent in the bake and height in the developer, so that they do not mix.
 */
export function ofTargetStage<R extends Pick<Reading, 'takenAfter'>>(
  readings: readonly R[],
  study: Pick<Study, 'targetAfter'>,
): { counting: R[]; otherStages: OtherStage[] } {
  const counting = readings.filter((reading) => stageOf(reading, study) === study.targetAfter)
  const otherStages = readingStages.flatMap((takenAfter): OtherStage[] => {
    if (takenAfter === study.targetAfter) return []
    const count = readings.filter((reading) => reading.takenAfter === takenAfter).length
    return count > 0 ? [{ takenAfter, count }] : []
  })
  return { counting, otherStages }
}
