import type { Actual, Factor, FactorRole, PlateVisit, Settings } from '../contract/things.ts'
import { displayOf, type PlateOffset } from './plate-offset.ts'

/** A factor that went otherwise than planned. */
export type Replaced = {
  factor: string
  planned: number | string | null
  actual: number
  /** Of a bake temperature, the surface from which the display was told, °C. */
  surface?: number
}

/**
 * The settings that a run really had: what was recorded at the bench in place of the plan. A temperature probed on
 * the plate counts as the display that it stands for by the plate's offset, that of the run before that of its visit.
 */
export function actualSettings(options: {
  factors: readonly Factor[]
  settings: Settings
  actual: Actual
  visit: Pick<PlateVisit, 'display' | 'surface'> | null
  hotPlate: PlateOffset | null
}): { settings: Settings; replaced: Replaced[] } {
  const { factors, settings } = options
  const byRole = actualByRole(options)
  const replaced = factors.flatMap(({ name, role }): Replaced[] => {
    const actual = byRole[role]
    if (actual === undefined || actual === settings[name]) return []
    const surface = role === 'bake temperature' ? probedSurface(options) : null
    const probed = surface === null ? {} : { surface }
    return [{ factor: name, planned: settings[name] ?? null, actual, ...probed }]
  })
  const changes = Object.fromEntries(replaced.map(({ factor, actual }) => [factor, actual]))
  return { settings: { ...settings, ...changes }, replaced }
}

/** The surface that counts: as probed at the run, else of its visit where the run says no display of its own. */
function probedSurface({
  actual,
  visit,
}: Pick<Parameters<typeof actualSettings>[0], 'actual' | 'visit'>): number | null {
  if (actual.bakeSurface !== undefined) return actual.bakeSurface
  return actual.bakeDisplay === undefined ? (visit?.surface ?? null) : null
}

function actualByRole({
  actual,
  visit,
  hotPlate,
}: Pick<Parameters<typeof actualSettings>[0], 'actual' | 'visit' | 'hotPlate'>): Partial<
  Record<FactorRole, number | undefined>
> {
  const surface = probedSurface({ actual, visit })
  return {
    speed: actual.speed,
    ramp: actual.ramp,
    time: actual.time,
    'bake temperature':
      surface === null ? (actual.bakeDisplay ?? visit?.display ?? undefined) : displayOf(hotPlate, surface),
    'bake time': actual.bakeTime,
  }
}
