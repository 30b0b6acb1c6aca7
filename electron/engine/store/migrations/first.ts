import { decisions } from './first/decisions.ts'
import { materials } from './first/materials.ts'
import { readings } from './first/readings.ts'
import { record } from './first/record.ts'
import { runs } from './first/runs.ts'
import { studies } from './first/studies.ts'
import { tools } from './first/tools.ts'

/**
 * The tables. Columns are named as the fields of the contract. Lengths in nm (film) and mm (position), speed
 * in rpm, ramp in rpm/s, time in s, temperature in °C.
 *
 * Tools, bottles, substrates, studies, stages, recipes and runs are taken away by the mark `removed`, readings and imports
 * by `withdrawn`: nothing that a reading hangs on, or that several studies may use, is ever deleted.
 *
 * Every column that refers to another table has an index, but those that name a tool: to take a row away, or its step,
 * looks for what refers to it.
 */
export const first = [record, tools, materials, studies, runs, readings, decisions].join('\n')
