import type { GaugePart, GaugeResult } from '../contract/results/gauge.ts'

/** More loadings of a wafer, or scans at each, than this nobody makes. */
const most = { reloads: 10, scans: 25 }

/**
 * How often to load and to scan (or at how many sites to read) so that six standard deviations of the mean take no more
 * than twice `width`: the fewest loadings, then the fewest scans at each. Operators stay in the mean whole.
 *
 * @returns null where no number within reason does it
 */
export function enoughReadings(
  parts: readonly GaugePart[],
  width: number,
): GaugeResult['enough'][number]['least'] {
  const variance = (...names: GaugePart['name'][]) =>
    parts
      .filter(({ name }) => names.includes(name))
      .reduce((sum, { standardDeviation }) => sum + standardDeviation ** 2, 0)
  const common = variance('operators', 'waferOperator')
  const reload = variance('reload', 'loading')
  const scan = variance('repeatability')
  for (let reloads = 1; reloads <= most.reloads; reloads++)
    for (let scans = 1; scans <= most.scans; scans++)
      if (6 * Math.sqrt(common + (reload + scan / scans) / reloads) <= 2 * width * (1 + 1e-12))
        return { reloads, scans }
  return null
}
