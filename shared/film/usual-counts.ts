import type { ScatterLevel } from '../contract/results/scatter.ts'
import type { ScatterSubstrate } from './scatter.ts'

/**
 * How the film of one setting is usually read: the middle of how many sessions it was made in, wafers a session, sites a
 * wafer and repeats a site, for the levels that count.
 */
export function usualCounts(
  levels: readonly ScatterLevel[],
  substrates: readonly ScatterSubstrate[],
): { level: ScatterLevel; count: number }[] {
  const keys = (one: ScatterSubstrate, level: ScatterLevel, site: number | string, at: number) => {
    const all: Record<ScatterLevel, string> = {
      session: one.session,
      plateVisit: one.plateVisit,
      wafer: one.wafer,
      site: String(site),
      repeat: String(at),
    }
    return all[level]
  }
  const paths = substrates.flatMap((one) =>
    one.readings.map(({ site }, at) => [one.setting, ...levels.map((level) => keys(one, level, site, at))]),
  )
  return levels.map((level, i) => {
    const inside = new Map<string, Set<string>>()
    for (const path of paths) {
      const outer = JSON.stringify(path.slice(0, i + 1))
      const own = inside.get(outer) ?? new Set()
      inside.set(outer, own.add(path[i + 1] as string))
    }
    const sizes = [...inside.values()].map(({ size }) => size).sort((a, b) => a - b)
    return { level, count: sizes[sizes.length >> 1] ?? 1 }
  })
}
