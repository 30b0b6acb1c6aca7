import type { Reading, Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs } from '../../../shared/contract.ts'
import { stageOf, thickness } from '../../../shared/film/reading-stage.ts'
import { mapName, studySites } from '../../../shared/film/site-map.ts'
import { parseNumber } from '../../../shared/numbers.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { parseThickness, thicknessUnitOf } from '../../../shared/units.ts'

type Args = CheckedArgs<'bench.enterReadings'>

/** A reading as typed, understood: `row` counts the entry from 1. */
export type ParsedEntry = Pick<
  Reading,
  'site' | 'xMm' | 'yMm' | 'repeat' | 'takenAfter' | 'opticalIndex' | 'value' | 'text' | 'unit'
> & { row: number }

/** Reads everything that was typed, or names every entry that cannot be read; nothing is taken then. */
export function parseEntries(study: Study, args: Args): Answer<ParsedEntry[]> {
  const quantity = args.quantity ?? thickness
  const unit = thicknessUnitOf(args.unit)
  if (quantity === thickness && unit === null)
    return refuse('unknownUnit', `‘${args.unit}’ is no unit of thickness. Use nm, Å or µm.`, {
      column: 'unit',
    })
  const positions = new Map(studySites(study).map((site) => [site.site, site]))
  const problems: Problem[] = []
  const seen = new Set<string>()
  // Stage and index are those of a film: another quantity has them only where somebody says so.
  const usual = quantity === thickness ? study : { readAfter: null, readIndex: null }
  const { takenAfter = usual.readAfter, opticalIndex = usual.readIndex } = args

  const entries = args.readings.map((reading, i): ParsedEntry => {
    const row = i + 1
    const column = reading.site === null ? undefined : `site ${reading.site}`
    const problem = (code: string, message: string) =>
      problems.push({ code, message, row, ...(column ? { column } : {}) })
    const value =
      unit !== null && quantity === thickness
        ? parseThickness(reading.text, { unit })
        : withUnit(parseNumber(reading.text), reading.text, args.unit)
    if (!value.ok) for (const { code, message } of value.problems) problem(code, message)

    const { site, repeat = 1 } = reading
    const place = site === null ? undefined : positions.get(site)
    const xMm = reading.xMm ?? place?.xMm ?? null
    const yMm = reading.yMm ?? place?.yMm ?? null
    if (site !== null && (xMm === null || yMm === null))
      problem('noSuchSite', `The site map ${mapName(study)} has no site ${site}.`)
    const key = `${site} ${repeat}`
    if (site !== null && seen.has(key)) problem('duplicateSite', `Site ${site} stands here twice.`)
    if (site !== null) seen.add(key)
    const typed = value.ok ? value.value : { valueNm: 0, text: reading.text, unit: args.unit }
    const how = { repeat, takenAfter, opticalIndex }
    return { row, site, xMm, yMm, ...how, value: typed.valueNm, text: typed.text, unit: typed.unit }
  })
  return problems.length > 0 ? { ok: false, problems } : good(entries)
}

function withUnit(
  number: Answer<number>,
  text: string,
  unit: string,
): ReturnType<typeof parseThickness> | Answer<{ valueNm: number; text: string; unit: string }> {
  return number.ok ? good({ valueNm: number.value, text: text.trim(), unit }) : number
}

/**
 * The reading in force that a new one corrects: of its repeat and stage the one at its site or position; without either,
 * the only one of its quantity that has neither.
 */
export function correctedBy(
  entry: Pick<Reading, 'site' | 'xMm' | 'yMm' | 'repeat' | 'takenAfter'>,
  all: readonly Reading[],
  study: Pick<Study, 'targetAfter'>,
): Reading | null {
  const { site, xMm, yMm } = entry
  const stage = stageOf(entry, study)
  const standing = all.filter(
    (reading) => reading.repeat === entry.repeat && stageOf(reading, study) === stage,
  )
  if (site !== null) return standing.find((reading) => reading.site === site) ?? null
  if (xMm !== null && yMm !== null)
    return standing.find((reading) => samePlace(reading.xMm, xMm) && samePlace(reading.yMm, yMm)) ?? null
  const placeless = standing.filter((reading) => reading.site === null && reading.xMm === null)
  return placeless.length === 1 ? (placeless[0] as Reading) : null
}

/** Positions closer than a micrometre are one. */
const samePlace = (a: number | null, b: number) => a !== null && Math.abs(a - b) < 1e-3
