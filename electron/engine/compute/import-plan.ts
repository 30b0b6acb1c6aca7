import { createHash } from 'node:crypto'
import type { Database } from 'better-sqlite3'
import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import { beadWarning } from '../../../shared/film/bead-warning.ts'
import { ofStage, stageOf, thickness } from '../../../shared/film/reading-stage.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { Tell } from '../../../shared/progress.ts'
import { checkFactorNames, checkQuantities } from '../calls/check-settings.ts'
import { correctedBy } from '../calls/entry.ts'
import { questionsOf } from '../calls/questions.ts'
import { contentOf, type ImportContent, type ImportSource } from '../files/import-content.ts'
import { type ImportRun, placeOf } from '../files/import-runs.ts'
import { namingFiles } from '../files/rows-of-files.ts'
import { importOf } from '../store/imports.ts'
import { readingsOfRun } from '../store/readings.ts'
import { freeCodes, runsOf } from '../store/runs.ts'

/** A run of a file beside the run of that code in the study, and those of its readings that are new. */
export type PlannedRun = {
  run: ImportRun
  known: Run | null
  readings: { reading: ImportRun['readings'][number]; supersedes: string | null }[]
}

/** What an import will do to a study. Where there are problems it does nothing. */
export type ImportPlan = ImportContent & {
  /** Hash of each file. */
  sha256: string[]
  planned: PlannedRun[]
  known: Run[]
  warnings: Problem[]
  corrected: Problem[]
  alreadyThere: Problem[]
  /** Runs that are called measured and have no readings here or in the study. */
  unread: Problem[]
  problems: Problem[]
}

/** Compares what files hold with what the study has. */
export function planImport(db: Database, study: Study, source: ImportSource, tell: Tell): ImportPlan {
  const known = runsOf(db, study.id)
  const codes = known.map(({ code }) => code)
  const content = contentOf(source, study, { codes, freeCodes: (count) => freeCodes(known, count) }, tell)
  const files = [source, ...(source.more ?? [])]
  const names = files.map(({ fileName }) => fileName)
  const sha256 = files.map(({ text }) => createHash('sha256').update(text).digest('hex'))
  const byCode = new Map(known.map((run) => [run.code, run]))
  const standing = new Map<string, readonly Reading[]>()
  const planned = content.runs.map((run, i) => {
    if (i % 1000 === 0) tell('runs compared', i, content.runs.length)
    const match = byCode.get(run.code) ?? null
    const readings = match ? readingsOfRun(db, match.id) : []
    if (match) standing.set(match.id, readings)
    return planRun(run, match, readings, study)
  })
  const ofKnown = ({ known }: PlannedRun) => (known && standing.get(known.id)) ?? []
  const quantities = [
    ...new Set(content.runs.flatMap((run) => run.readings.map((reading) => reading.quantity))),
  ]
  const problems = [
    ...content.shown.problems,
    ...sameFileTwice(sha256, names),
    ...sha256.flatMap((hash, i) => importedBefore(importOf(db, study.id, hash), names[i] as string)),
    ...checkFactorNames(content.factors, quantities),
    ...checkQuantities(quantities, [...study.factors, ...content.factors]),
    ...planned.flatMap(({ run, known }) => (known ? otherSettings(run, known) : [])),
    ...(known.length > 0 ? planned.flatMap(({ run, known }) => (known ? [] : strangers(run, content))) : []),
  ]
  const named = (found: Problem[]) => namingFiles(found, names)
  return {
    ...content,
    shown: {
      ...content.shown,
      flagged: named(content.shown.flagged),
      leftAside: named(content.shown.leftAside),
    },
    sha256,
    planned,
    known,
    warnings: named([
      ...inBead(content.runs, study),
      ...planned.flatMap((one) => oddities(one, ofKnown(one), study)),
    ]),
    corrected: named(planned.flatMap(corrections)),
    alreadyThere: named(planned.flatMap(repeats)),
    unread: named(planned.flatMap((one) => unread(one, ofKnown(one)))),
    problems: named(problems),
  }
}

/** Sites of the files that lie where an edge bead usually stands. */
function inBead(runs: readonly ImportRun[], study: Study): Problem[] {
  const places = new Map<string, { x: number; y: number }>()
  for (const { readings } of runs)
    for (const { quantity, xMm, yMm } of readings)
      if (quantity === thickness && xMm !== null && yMm !== null)
        places.set(`${xMm} ${yMm}`, { x: xMm, y: yMm })
  const message = beadWarning(study, [...places.values()], study.uniformityLimit)
  return message === null ? [] : [{ code: 'edgeBead', message }]
}

/** A run that a file calls measured, without a reading: it comes in as coated until its readings come. */
function unread({ run }: PlannedRun, standing: readonly Reading[]): Problem[] {
  if (run.state !== 'measured' || run.readings.length > 0 || standing.length > 0) return []
  return [
    {
      code: 'noReadings',
      message: `Row ${run.row}: run ‘${run.code}’ is called measured, but no reading of it is here. It comes in as coated.`,
      row: run.row,
    },
  ]
}

function planRun(
  run: ImportRun,
  known: Run | null,
  standing: readonly Reading[],
  study: Pick<Study, 'targetAfter'>,
): PlannedRun {
  if (standing.length === 0)
    return { run, known, readings: run.readings.map((reading) => ({ reading, supersedes: null })) }
  type Placed = Pick<Reading, 'quantity' | 'site' | 'repeat' | 'takenAfter'>
  const keyOf = (each: Placed) => `${each.quantity} ${each.site} ${each.repeat} ${stageOf(each, study)}`
  const atSites = new Map(standing.map((each) => [keyOf(each), each]))
  const byQuantity = new Map(run.readings.map(({ quantity }) => [quantity, [] as Reading[]]))
  for (const each of standing) byQuantity.get(each.quantity)?.push(each)
  const readings = run.readings.flatMap((reading) => {
    const before =
      reading.site === null
        ? correctedBy(reading, byQuantity.get(reading.quantity) ?? [], study)
        : atSites.get(keyOf(reading))
    const same = (['value', 'unit', 'opticalIndex'] as const).every(
      (field) => before?.[field] === reading[field],
    )
    if (before && same) return []
    return [{ reading, supersedes: before?.id ?? null }]
  })
  return { run, known, readings }
}

/** Readings of the film that look wrong beside each other, or as if the file were in another unit. */
function oddities({ readings }: PlannedRun, standing: readonly Reading[], study: Study): Problem[] {
  const superseded = new Set(readings.map(({ supersedes }) => supersedes))
  const stands = standing.filter(({ id, excluded }) => excluded === null && !superseded.has(id))
  const all = [
    ...readings.filter(({ reading }) => !reading.excluded).map(({ reading }) => reading),
    ...stands.map((reading) => ({ ...reading, row: null })),
  ]
  const film = all.filter(({ quantity }) => quantity === thickness)
  return questionsOf({ study, expected: null, readings: ofStage(film, study).counting })
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

function sameFileTwice(hashes: readonly string[], names: readonly string[]): Problem[] {
  return hashes.flatMap((hash, i) => {
    const first = hashes.indexOf(hash)
    if (first === i) return []
    return [
      { code: 'sameFile', message: `‘${names[first]}’ and ‘${names[i]}’ hold the same. Leave one out.` },
    ]
  })
}

function importedBefore(before: { fileName: string; at: string } | null, fileName: string): Problem[] {
  if (!before) return []
  const same = before.fileName === fileName ? 'The same content' : `The content of ‘${fileName}’`
  return [
    {
      code: 'importedBefore',
      message: `${same} was imported from ‘${before.fileName}’ on ${before.at.slice(0, 10)}. Undo that first.`,
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
