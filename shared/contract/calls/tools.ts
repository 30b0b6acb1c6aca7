import { z } from 'zod'
import { coater, gauge, hotPlate } from '../tools.ts'
import { id, nothing, reads, writes } from './call.ts'

export const tools = {
  'tools.list': reads(
    nothing,
    z.object({ coaters: z.array(coater), hotPlates: z.array(hotPlate), gauges: z.array(gauge) }),
  ),
  /** Without an id a new tool is made, with defaults for what is left out; with one the given fields change. */
  'tools.saveCoater': writes(
    z.object({ coater: coater.partial().required({ name: true }) }),
    z.object({ id }),
  ),
  'tools.saveHotPlate': writes(
    z.object({ hotPlate: hotPlate.partial().required({ name: true }) }),
    z.object({ id }),
  ),
  'tools.saveGauge': writes(z.object({ gauge: gauge.partial().required({ name: true }) }), z.object({ id })),
}
