import { createHash } from 'node:crypto'
import packageInfo from '../../../package.json' with { type: 'json' }
import type { KeptItem } from '../../../shared/contract/report.ts'
import type { Study } from '../../../shared/contract/things.ts'
import { readingProblems } from '../../../shared/film/reading-problems.ts'
import { thickness } from '../../../shared/film/reading-stage.ts'
import type { ReportData } from '../../../shared/report/report-data.ts'
import { count } from '../../../shared/words.ts'
import type { ReportInput } from '../compute/report.ts'
import type { ReportFitInput } from '../compute/report-fit.ts'
import { bottleOf, sessionsWithBottles } from '../store/bottles.ts'
import { now } from '../store/ids.ts'
import { lotDecisionsOf } from '../store/lot-decisions.ts'
import type { Store } from '../store/open.ts'
import { readingsOfStudy } from '../store/readings.ts'
import { recipesOf } from '../store/recipes.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { plateVisitsOf, sessionsOf } from '../store/sessions.ts'
import { studyHash } from '../store/study-hash.ts'
import { runRows } from './bench.ts'
import { judgedConfirmations } from './confirmations.ts'
import { watchInput } from './drift.ts'
import { ledgerOf } from './ledger.ts'
import { readingsCsv, runsCsv } from './study-csv.ts'
import { dataFor, dayColumns, overDaysInput } from './study-fit.ts'
import { scatterOfStudy } from './study-scatter.ts'
import { dataHash, includedRows, nonUniformity, studyTable } from './study-table.ts'
import { suggestionsFor } from './suggestions.ts'

/**
 * The hash of all that fits of the study may see, by which what a person wrote is known to be of these data. Without the
 * non-uniformity, which hashes of earlier versions did not have: the readings that it follows from are told by the rest.
 */
export function hashOfStudy(store: Store, study: Study): string {
  const data = includedRows(studyTable(store, study))
  return dataHash(
    data,
    data.table.columns.map(({ name }) => name).filter((name) => name !== nonUniformity),
  )
}

/** Everything that the database says for a report. */
export function reportInput(
  store: Store,
  study: Study,
  { items, theme }: Pick<ReportData, 'items' | 'theme'>,
): ReportInput {
  const { db } = store
  const runs = runRows(store, study)
  const readings = readingsOfStudy(db, study.id)
  const sessions = sessionsOf(db, study.id)
  const recipes = recipesOf(db, study.id)
  const bottleIds = new Set([study.bottleId, ...sessions.map(({ bottleId }) => bottleId)])
  const fit = reportFitInput(store, study)
  const facts: ReportInput['facts'] = {
    study,
    items,
    theme,
    runs,
    sessions,
    readings: runs.flatMap(({ id }) => {
      const own = readings.get(id)
      return own ? [{ runId: id, readings: [...own] }] : []
    }),
    plateVisits: plateVisitsOf(db, study.id),
    bottles: [...bottleIds].flatMap((id) => bottleOf(db, id) ?? []),
    recipes: recipes.map((recipe) => ({
      ...recipe,
      stale: isStale(store, study, { ...recipe, response: thickness }, dayColumns),
    })),
    lotDecisions: lotDecisionsOf(db, study.id).map((decision) => ({
      ...decision,
      stale: isStale(store, study, { ...decision.numbers, dataHash: decision.dataHash }, [
        ...dayColumns,
        'lot',
      ]),
    })),
    confirmations: judgedConfirmations(store, study),
    ledger: ledgerOf(store, study),
    hashes: {
      study: studyHash(db, study.id),
      data: hashOfStudy(store, study),
      runsCsv: sha256(runsCsv(store, study)),
      readingsCsv: sha256(readingsCsv(store, study)),
    },
    versions: {
      program: packageInfo.version,
      database: store.version,
      node: process.versions.node,
      sqlite: db.prepare('SELECT sqlite_version()').pluck().get() as string,
    },
    writtenAt: now(),
  }
  return {
    facts,
    stale: staleIn(facts),
    fit,
    otherFits: items.some((item) => item.kind === 'part' && item.part === 'otherFits')
      ? otherFitInputs(store, study)
      : [],
    sessions: sessionsWithBottles(db, study.id),
    scatter: scatterOfStudy(store, study, fit.chosen ? study.model : null),
    watched: recipes.flatMap((recipe) => {
      const monitored = runs.some(({ kind, recipeId }) => kind === 'monitor' && recipeId === recipe.id)
      const input = monitored ? watchInput(store, recipe.id) : null
      return input?.ok && input.value.readings.length > 0 ? [{ recipe, input: input.value }] : []
    }),
  }
}

/** What a report's fit takes: the model that a person chose for the thickness, or all that are suggested. */
export function reportFitInput(store: Store, study: Study): ReportFitInput {
  const all = studyTable(store, study)
  const data = includedRows(all)
  const asked = (model: string) => candidatesFor(store, study, { response: thickness, model })
  const own = study.model === null ? [] : asked(study.model)
  const inUse = recipesOf(store.db, study.id).filter(({ supersededBy }) => supersededBy === null)
  const newest = inUse.reduce<(typeof inUse)[number] | null>(
    (latest, one) => (latest && latest.decidedAt > one.decidedAt ? latest : one),
    null,
  )
  const factors = new Set(study.factors.map(({ name }) => name))
  return {
    candidates:
      own.length > 0 ? own : suggestionsFor(study, data, thickness).flatMap(({ model }) => asked(model)),
    chosen: own.length > 0,
    readingProblems: readingProblems(study, summariesOfStudy(store.db, study, all.runs).values()),
    runs: all.runs.flatMap(({ code, kind }, row) => {
      const values = Object.fromEntries(
        all.table.columns.map(({ name, values }) => [name, values[row] ?? null]),
      )
      const response = values[thickness]
      return typeof response === 'number' && kind !== 'monitor'
        ? [{ code, values, response, excluded: all.excluded[row] ?? null }]
        : []
    }),
    at: Object.fromEntries(Object.entries(newest?.settings ?? {}).filter(([name]) => factors.has(name))),
  }
}

function candidatesFor(
  store: Store,
  study: Study,
  asked: { response: string; model: string },
): ReportFitInput['candidates'] {
  const input = overDaysInput(store, { studyId: study.id, ...asked, level: undefined })
  return input.ok ? [input.value] : []
}

/** The models suggested for each response that was read beside the thickness. */
function otherFitInputs(store: Store, study: Study): ReportInput['otherFits'] {
  const all = studyTable(store, study)
  const data = includedRows(all)
  return all.responses
    .filter((response) => response !== thickness)
    .map((response) => ({
      response,
      candidates: suggestionsFor(study, data, response).flatMap(({ model }) =>
        candidatesFor(store, study, { response, model }),
      ),
    }))
}

/** What was written when the data were other ones, in sentences. */
function staleIn({ items, hashes, recipes, lotDecisions }: ReportInput['facts']): string[] {
  const notes = items.filter((item) => item.kind === 'note' && item.dataHash !== hashes.data).length
  return [
    ...(notes > 0 ? [`${count(notes, 'note')} written on other data.`] : []),
    ...recipes
      .filter((recipe) => recipe.stale && recipe.supersededBy === null)
      .map(({ name, version }) => `Recipe ${name}, version ${version}, was decided on other data.`),
    ...lotDecisions
      .filter((decision) => decision.stale)
      .map(({ lot }) => `The decision on lot ${lot} was signed on other data.`),
  ]
}

/** Whether the data that a model sees are no longer those that were seen. */
function isStale(
  store: Store,
  study: Study,
  seen: { model: string; response: string; dataHash: string },
  also: readonly string[],
): boolean {
  const { model, response } = seen
  const found = dataFor(store, { studyId: study.id, response, model, level: undefined }, also)
  return !found.ok || found.value.dataHash !== seen.dataHash
}

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex')

/** A person's notes as they are kept: one that is as it was keeps its day and its data. */
export const keptNote = (
  note: { id: string; text: string },
  before: readonly KeptItem[],
  stamp: { at: string; dataHash: string },
): KeptItem => {
  const known = before.find((item) => item.kind === 'note' && item.id === note.id && item.text === note.text)
  return known ?? { kind: 'note', ...note, ...stamp }
}
