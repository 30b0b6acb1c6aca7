import type { Actual, Factor, FactorRole, PlateVisit, Settings } from '../contract/things.ts'
import { displayOf as displayOfPlate, type PlateOffset } from './plate-offset.ts'

/** A factor that went otherwise than planned. */
export type Replaced = { factor: string; planned: number | string | null; actual: number }

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
    return [{ factor: name, planned: settings[name] ?? null, actual }]
  })
  const changes = Object.fromEntries(replaced.map(({ factor, actual }) => [factor, actual]))
  return { settings: { ...settings, ...changes }, replaced }
}

function actualByRole({
  actual,
  visit,
  hotPlate,
}: Pick<Parameters<typeof actualSettings>[0], 'actual' | 'visit' | 'hotPlate'>): Partial<
  Record<FactorRole, number | undefined>
> {
  const displayOf = (surface: number | null | undefined) =>
    surface == null ? undefined : displayOfPlate(hotPlate, surface)
  return {
    speed: actual.speed,
    ramp: actual.ramp,
    time: actual.time,
    'bake temperature':
      displayOf(actual.bakeSurface) ??
      actual.bakeDisplay ??
      displayOf(visit?.surface) ??
      visit?.display ??
      undefined,
    'bake time': actual.bakeTime,
  }
}
