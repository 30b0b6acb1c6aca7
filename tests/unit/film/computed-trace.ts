import type { TracePoint } from '../../../shared/film/step-height.ts'
import { seeded } from '../../../shared/random.ts'

/**
 * A trace that is computed, not measured: invented data whose step is known. Positions in µm from 0, heights in nm.
 */
export type ComputedTrace = {
  /** A groove (negative) or ridge between two edges; with one edge all that lies right of it. */
  step: number
  edges: number[]
  length?: number
  spacing?: number
  /** nm/µm and nm/µm² about the middle. */
  tilt?: number
  bow?: number
  noise?: number
  /** Noise that neighbours share: correlation of neighbours, 0 to 1. */
  shared?: number
  /** Share of points with a spike, to either side, and its size in nm. */
  spikes?: { share: number; size: number }
  /** Material thrown up beside both edges: height and width of a bell. */
  banks?: { height: number; width: number }
  /** Lumps that lie on the trace. */
  debris?: { from: number; to: number; height: number }[]
  seed?: number
}

export function computedTrace(given: ComputedTrace): TracePoint[] {
  const { step, edges, length = 1200, spacing = 0.5, tilt = 0, bow = 0, noise = 0, shared = 0 } = given
  const random = seeded(given.seed ?? 1)
  const [left = 0, right = Number.POSITIVE_INFINITY] = edges
  let wander = random.normal()
  return Array.from({ length: Math.floor(length / spacing) + 1 }, (_, i) => {
    const x = i * spacing
    const along = x - length / 2
    wander = shared * wander + Math.sqrt(1 - shared ** 2) * random.normal()
    let height = (x > left && x < right ? step : 0) + tilt * along + bow * along ** 2 + noise * wander
    for (const edge of given.banks ? edges : []) {
      const away = edge === left ? left - x : x - edge
      if (away >= 0) height += given.banks!.height * Math.exp(-away / given.banks!.width)
    }
    for (const lump of given.debris ?? []) if (x >= lump.from && x <= lump.to) height += lump.height
    if (given.spikes && random.uniform() < given.spikes.share)
      height += given.spikes.size * (random.uniform() < 0.5 ? -1 : 1)
    return { position: x, height }
  })
}
