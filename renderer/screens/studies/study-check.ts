import type { ProgramCheck } from '../../../shared/contract/results/check.ts'
import type { StudyInput } from '../../../shared/contract/things.ts'
import type { Coater, HotPlate } from '../../../shared/contract/tools.ts'
import { checkProgram, toolsOf } from '../../../shared/process/check-program.ts'

/** Compares the study's own program with the limits of its tools, or the usual ones where none is chosen. */
export function checkOfStudy(
  form: Pick<
    StudyInput,
    | 'program'
    | 'coaterId'
    | 'hotPlateId'
    | 'substrateShape'
    | 'diameterMm'
    | 'widthMm'
    | 'heightMm'
    | 'chuckMm'
    | 'bakeTemperature'
    | 'bakeTime'
    | 'resistLimits'
    | 'coatMinutes'
    | 'dummies'
  >,
  tools: { coaters: readonly Coater[]; hotPlates: readonly HotPlate[] },
): ProgramCheck {
  return checkProgram({
    ...toolsOf({
      ...form,
      coater: tools.coaters.find((coater) => coater.id === form.coaterId) ?? null,
      hotPlate: tools.hotPlates.find((plate) => plate.id === form.hotPlateId) ?? null,
    }),
    segments: form.program,
    bake: { temperature: form.bakeTemperature, time: form.bakeTime },
  })
}
