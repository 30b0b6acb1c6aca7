import { createHash } from 'node:crypto'
import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import { thicknessUnitOf } from '../../../shared/units.ts'
import { contentOf, type ImportContent } from '../files/import-content.ts'
import { type ImportRun, placeOf } from '../files/import-runs.ts'
import { importOf } from '../store/imports.ts'
import type { Store } from '../store/open.ts'
import { readingsOfStudy } from '../store/readings.ts'
import { freeCodes, runsOf } from '../store/runs.ts'
import { checkFactorNames, checkQuantities } from './check-settings.ts'
import { correctedBy } from './entry.ts'
import { thickness } from './film.ts'
import { unitSlips } from './slips.ts'

/** A run of a file beside the run of that code in the study, and those of its readings that are new. */
export type PlannedRun = {
  run: ImportRun
  known: Run | null
  readings: { reading: ImportRun['readings'][number]; supersedes: string | null }[]
}

/** What an import will do to a study. Where there are problems it does nothing. */
export type ImportPlan = ImportContent & {
  sha256: string
  planned: PlannedRun[]
  known: Run[]
  warnings: Problem[]
  corrected: Problem[]
  alreadyThere: Problem[]
  problems: Problem[]
}

/** Compares what a file holds with what the study has. */
export function planImport(
  { db }: Store,
  study: Study,
  source: Omit<CheckedArgs<'imports.preview'>, 'studyId'>,
): ImportPlan {
  const known = runsOf(db, study.id)
  const content = contentOf(source, study, (count) => freeCodes(known, count))
  const sha256 = createHash('sha256').update(source.text).digest('hex')
  const standing = readingsOfStudy(db, study.id)
  const planned = content.runs.map((run) => {
    const match = known.find(({ code }) => code === run.code) ?? null
    return planRun(run, match, match ? (standing.get(match.id) ?? []) : [])
  })
  const quantities = [
    ...new Set(content.runs.flatMap((run) => run.readings.map((reading) => reading.quantity))),
  ]
  const problems = [
    ...content.shown.problems,
    ...importedBefore(importOf(db, study.id, sha256)),
    ...checkFactorNames(content.factors, quantities),
    ...checkQuantities(quantities, [...study.factors, ...content.factors]),
    ...planned.flatMap(({ run, known }) => (known ? otherSettings(run, known) : [])),
    ...(known.length > 0 ? planned.flatMap(({ run, known }) => (known ? [] : strangers(run, content))) : []),
  ]
  return {
    ...content,
    sha256,
    planned,
    known,
    warnings: planned.flatMap((one) => slips(one, standing.get(one.known?.id ?? '') ?? [], study.targetNm)),
    corrected: planned.flatMap(corrections),
    alreadyThere: planned.flatMap(repeats),
    problems,
  }
}

function planRun(run: ImportRun, known: Run | null, standing: readonly Reading[]): PlannedRun {
  const readings = run.readings.flatMap((reading) => {
    const others = standing.filter(({ quantity }) => quantity === reading.quantity)
    const before = correctedBy(reading, others)
    if (before && before.value === reading.value && before.unit === reading.unit) return []
    return [{ reading, supersedes: before?.id ?? null }]
  })
  return { run, known, readings }
}

/** Readings of the film that look as if the file were in another unit. */
function slips({ readings }: PlannedRun, standing: readonly Reading[], expected: number | null): Problem[] {
  const superseded = new Set(readings.map(({ supersedes }) => supersedes))
  const entered = readings.flatMap(({ reading: { row, site, quantity, value, text, unit } }) => {
    const thicknessUnit = thicknessUnitOf(unit)
    if (quantity !== thickness || thicknessUnit === null || value <= 0) return []
    return [{ row, site, valueNm: value, text, unit: thicknessUnit }]
  })
  const others = standing
    .filter(
      ({ id, quantity, excluded }) => quantity === thickness && excluded === null && !superseded.has(id),
    )
    .map(({ value }) => value)
  return unitSlips({ entered, others, expected })
}

function corrections({ run, readings }: PlannedRun): Problem[] {
  const superseding = readings.filter(({ supersedes }) => supersedes !== null)
  const [first] = superseding
  if (!first) return []
  const places = superseding.map(({ reading }) => placeOf(reading) ?? reading.quantity)
  return [
    {
      code: 'corrected',
      message: `Run ${run.code}: ${places.join(', ')} will be corrected by this file.`,
      row: first.reading.row,
    },
  ]
}

function repeats({ run, readings }: PlannedRun): Problem[] {
  const count = run.readings.length - readings.length
  if (count === 0) return []
  return [
    {
      code: 'alreadyThere',
      message: `Run ${run.code}: ${count === 1 ? 'one reading is' : `${count} readings are`} there already.`,
      row: run.row,
    },
  ]
}

function importedBefore(before: { fileName: string; at: string } | null): Problem[] {
  if (!before) return []
  return [
    {
      code: 'importedBefore',
      message: `The same content was imported from ‘${before.fileName}’ on ${before.at.slice(0, 10)}. Undo that first.`,
    },
  ]
}

/** Settings in the file that are not those of the study's run: the substrates may have been mistaken. */
function otherSettings(run: ImportRun, known: Run): Problem[] {
  return Object.entries(run.settings)
    .filter(([name, setting]) => known.settings[name] !== undefined && known.settings[name] !== setting)
    .map(([name, setting]) => ({
      code: 'otherSetting',
      message:
        `Row ${run.row}: run ‘${run.code}’ has ${name} ${setting} here and ${known.settings[name]} in the study. ` +
        'Is it the same substrate?',
      row: run.row,
      column: name,
    }))
}

/** A run that the study does not have, in a file that says nothing of how it was made. */
function strangers(run: ImportRun, content: ImportContent): Problem[] {
  if (content.shape === 'runs' || Object.keys(run.settings).length > 0) return []
  return [
    {
      code: 'noSuchRun',
      message: `Row ${run.row}: this study has no run ‘${run.code}’, and the file does not say its settings.`,
      row: run.row,
    },
  ]
}
