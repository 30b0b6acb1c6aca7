import type { ProgramCheck } from '../../../shared/contract/results.ts'
import type { Coater, HotPlate, StudyInput } from '../../../shared/contract/things.ts'
import { checkProgram, usualCoater, usualHotPlate } from '../../../shared/process/spin-program.ts'

/** Compares the study's own program with the limits of its tools, or the usual ones where none is chosen. */
export function checkOfStudy(
  form: Pick<
    StudyInput,
    'program' | 'coaterId' | 'hotPlateId' | 'diameterMm' | 'chuckMm' | 'bakeTemperature' | 'bakeTime'
  >,
  tools: { coaters: readonly Coater[]; hotPlates: readonly HotPlate[] },
): ProgramCheck {
  return checkProgram({
    segments: form.program,
    coater: tools.coaters.find((coater) => coater.id === form.coaterId) ?? usualCoater,
    hotPlate: tools.hotPlates.find((plate) => plate.id === form.hotPlateId) ?? usualHotPlate,
    diameterMm: form.diameterMm,
    chuckMm: form.chuckMm,
    bake: { temperature: form.bakeTemperature, time: form.bakeTime },
  })
}
