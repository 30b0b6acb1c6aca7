import type { Gauge } from '../../../shared/contract/tools.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { usualPlateRates } from '../../../shared/process/budget.ts'
import { usualCoater, usualHotPlate } from '../../../shared/process/check-program.ts'
import { isRising } from '../../../shared/process/plate-offset.ts'
import { gaugeDefaults, usualSpeedStep } from '../../../shared/study-defaults.ts'
import type { Store } from '../store/open.ts'
import { describeStep } from '../store/step.ts'
import { keepTool, type ToolTable, toolOf, toolsOf } from '../store/tools.ts'
import type { Handlers } from './handler.ts'

type Names = 'tools.list' | 'tools.saveCoater' | 'tools.saveHotPlate' | 'tools.saveGauge'

/** Limits until a person has entered and confirmed those of the tool: common practice, no source. */
const newCoater = { ...usualCoater, maxRamp: null, speedStep: usualSpeedStep }
const newHotPlate = { ...usualHotPlate, surfaceOffset: 0, offsets: [], ...usualPlateRates }

export const tools: Handlers<Names> = {
  'tools.list': (_args, { db }) =>
    good({
      coaters: toolsOf(db, 'coater'),
      hotPlates: toolsOf(db, 'hotPlate'),
      gauges: toolsOf(db, 'gauge'),
    }),
  'tools.saveCoater': ({ coater, studyId }, store) =>
    save(store, { table: 'coater', tool: coater, defaults: newCoater, words: 'coater', studyId }),
  'tools.saveHotPlate': ({ hotPlate, studyId }, store) => {
    if (hotPlate.offsets && !isRising(hotPlate.offsets))
      return refuse('notRising', 'Display and surface must both rise from row to row of the table.', {
        column: 'offsets',
      })
    return save(store, {
      table: 'hotPlate',
      tool: hotPlate,
      defaults: newHotPlate,
      words: 'hot plate',
      studyId,
    })
  },
  'tools.saveGauge': ({ gauge, studyId }, store) => {
    const before = toolOf(store.db, 'gauge', gauge.id ?? null)
    const origins = before ? originsAfter(before, gauge) : gaugeDefaults.origins
    const named: typeof gauge = { ...gauge, origins }
    return save(store, { table: 'gauge', tool: named, defaults: gaugeDefaults, words: 'gauge', studyId })
  },
}

/** A number that is typed over no longer comes from where the one before it came from. */
function originsAfter(before: Gauge, given: Partial<Gauge>): Gauge['origins'] {
  const kept = (name: keyof Gauge['origins']) =>
    given[name] === undefined || given[name] === before[name] ? before.origins[name] : null
  return {
    repeatability: kept('repeatability'),
    reload: kept('reload'),
    calibration: kept('calibration'),
  }
}

function save(
  { db }: Store,
  saved: {
    table: ToolTable
    tool: { id?: string | undefined; name: string }
    defaults: object
    words: string
    studyId: string | undefined
  },
): Answer<{ id: string }> {
  const { table, tool, defaults, words, studyId = null } = saved
  if (tool.id !== undefined && !toolOf(db, table, tool.id))
    return refuse('noSuchTool', `There is no such ${words} here.`)
  const id = keepTool(db, table, tool.id === undefined ? { ...defaults, ...tool } : tool)
  describeStep(db, { label: `Saved the ${words} ‘${tool.name}’`, studyId })
  return good({ id })
}
