import { z } from 'zod'
import { coater, gauge, hotPlate } from '../tools.ts'
import { id, nothing, reads, writes } from './call.ts'

/** The study in whose form a tool is saved: its history takes the step, and Undo there takes it back. */
const from = z.object({ studyId: id.optional() })

export const tools = {
  'tools.list': reads(
    nothing,
    z.object({ coaters: z.array(coater), hotPlates: z.array(hotPlate), gauges: z.array(gauge) }),
  ),
  /** Without an id a new tool is made, with defaults for what is left out; with one the given fields change. */
  'tools.saveCoater': writes(
    from.extend({ coater: coater.partial().required({ name: true }) }),
    z.object({ id }),
  ),
  'tools.saveHotPlate': writes(
    from.extend({ hotPlate: hotPlate.partial().required({ name: true }) }),
    z.object({ id }),
  ),
  'tools.saveGauge': writes(
    from.extend({ gauge: gauge.partial().required({ name: true }) }),
    z.object({ id }),
  ),
}
