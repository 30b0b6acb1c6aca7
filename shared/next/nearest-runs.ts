import type { Factor, Run, Settings } from '../contract/things.ts'

/**
 * So many runs made at settings nearest to these, nearest first; of equally near ones the later. Each factor counts by
 * its share of the planned range, another level or lot as a whole range.
 */
export function nearestRuns<R extends Pick<Run, 'settings' | 'lot' | 'runOrder'>>(
  runs: readonly R[],
  factors: readonly Pick<Factor, 'name' | 'role' | 'low' | 'high'>[],
  at: Settings,
  count: number,
): R[] {
  const distance = ({ settings, lot }: R) => {
    const ofFactors = factors
      .filter(({ role }) => role !== 'lot')
      .map(({ name, low, high }) => {
        const [own, wanted] = [settings[name], at[name]]
        if (typeof own !== 'number' || typeof wanted !== 'number') return own === wanted ? 0 : 1
        return (own - wanted) / ((high ?? 0) - (low ?? 0) || Math.abs(wanted) || 1)
      })
    const lotName = factors.find(({ role }) => role === 'lot')?.name ?? 'lot'
    const ofLot = at[lotName] === undefined || at[lotName] === lot ? 0 : 1
    return Math.hypot(...ofFactors, ofLot)
  }
  return runs
    .map((run) => ({ run, far: distance(run) }))
    .sort((a, b) => a.far - b.far || b.run.runOrder - a.run.runOrder)
    .slice(0, count)
    .map(({ run }) => run)
}
