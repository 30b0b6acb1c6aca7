import { plainNumber, quantity } from '../../../shared/charts/format.ts'
import type { Settings, Study } from '../../../shared/contract/things.ts'
import { surfaceOf } from '../../../shared/process/plate-offset.ts'
import { words } from './words.ts'

/** Display and surface of the hot plate at a recipe, as a sentence; empty where no plate is known or nothing is baked. */
export function surfaceWords(settings: Settings, study: Study): string {
  const factor = study.factors.find(({ role }) => role === 'bake temperature')
  const display = factor === undefined ? study.bakeTemperature : settings[factor.name]
  if (study.hotPlate === null || typeof display !== 'number') return ''
  const degrees = (value: number) => quantity(plainNumber(Number(value.toFixed(1))), '°C')
  return words.recipe.surface(degrees(display), degrees(surfaceOf(study.hotPlate, display)))
}
