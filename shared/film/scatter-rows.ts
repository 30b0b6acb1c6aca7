import { fitShape } from './shape.ts'
import { siteMeans } from './site-means.ts'

/** Counting readings of one substrate, with the groups that it lies in. */
export type ScatterWafer = {
  session: string
  plateVisit: string
  wafer: string
  /** Readings of equal `site` are repeats. Positions in mm, values above zero. */
  readings: readonly { site: number | string; x: number | null; y: number | null; value: number }[]
}

/** One reading without the shape of its film: the logarithm. */
export type ScatterRow = { wafer: number; site: string; log: number }

/**
 * Logarithms of the readings without what is systematic within a wafer. Bowl, ring and wedges are fitted to the means of
 * the sites and taken away; what they leave is stretched by √((n − 1)/(n − p)), so that it scatters as n − 1 degrees of
 * freedom would, though it has n − p. The mean of the wafer and the differences between repeats stay as they are.
 * Without positions, or where the shape leaves nothing, the sites stay as they are too.
 *
 * @param lost.df degrees of freedom between sites that the shapes have taken
 */
export function scatterRows(
  wafers: readonly ScatterWafer[],
  radiusMm: number,
): { rows: ScatterRow[]; lost: { df: number; wafers: number } } {
  const lost = { df: 0, wafers: 0 }
  const rows = wafers.flatMap(({ readings }, wafer): ScatterRow[] => {
    const logs = readings.map((reading) => ({ ...reading, value: Math.log(reading.value) }))
    const sites = siteMeans(logs)
    const sited = sites.flatMap(({ x, y, value }) => (x === null || y === null ? [] : [{ x, y, value }]))
    const fit = sited.length === sites.length ? fitShape(sited, radiusMm) : null
    const shaped = fit !== null && fit.df > 0
    if (fit && shaped) lost.df += sites.length - 1 - fit.df
    else lost.wafers += sites.length > 1 ? 1 : 0
    const mean = sites.reduce((sum, { value }) => sum + value, 0) / sites.length
    const stretch = fit && shaped ? Math.sqrt((sites.length - 1) / fit.df) : 1
    const order = [...new Set(readings.map(({ site }) => site))]
    const levels = sites.map(({ value }, i) =>
      fit && shaped ? mean + stretch * (fit.residuals[i] as number) : value,
    )
    return logs.map(({ site, value }) => {
      const i = order.indexOf(site)
      const own = sites[i]?.value as number
      return { wafer, site: String(site), log: (levels[i] as number) + value - own }
    })
  })
  return { rows, lost }
}
