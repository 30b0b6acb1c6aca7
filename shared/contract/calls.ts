import { z } from 'zod'
import {
  budget,
  choice,
  comparison,
  filmSummary,
  fit,
  plan,
  predictionResult,
  problem,
  programCheck,
  recommendation,
} from './results.ts'
import {
  coater,
  designSettings,
  factor,
  gauge,
  hotPlate,
  reading,
  run,
  runKind,
  setting,
  settings,
  siteMapName,
  stage,
  study,
  studyInput,
} from './things.ts'

/** One call: what goes in, what comes out, and whether it changes the database. */
type Call = { args: z.ZodType; result: z.ZodType; writes: boolean }

const reads = <A extends z.ZodType, R extends z.ZodType>(args: A, result: R) =>
  ({ args, result, writes: false }) as const satisfies Call
const writes = <A extends z.ZodType, R extends z.ZodType>(args: A, result: R) =>
  ({ args, result, writes: true }) as const satisfies Call

const id = z.uuid()
const nothing = z.object({})
const done = z.object({ done: z.literal(true) })
const ofStudy = z.object({ studyId: id })
const text = z.string().max(20000)

// ── studies ─────────────────────────────────────────────────────────────────

export const studySummary = z.object({
  id,
  name: z.string(),
  question: z.string(),
  targetNm: z.number().nullable(),
  toleranceNm: z.number().nullable(),
  thicknessUnit: z.enum(['nm', 'Å', 'µm']),
  simulated: z.boolean(),
  archived: z.boolean(),
  /** Runs still to be read: planned or coated. */
  runsPlanned: z.number().int(),
  runsMeasured: z.number().int(),
  changedAt: z.string(),
})

const studies = {
  'studies.list': reads(nothing, z.array(studySummary)),
  'studies.get': reads(ofStudy, study),
  'studies.create': writes(z.object({ study: studyInput.partial().required({ name: true }) }), ofStudy),
  'studies.update': writes(z.object({ studyId: id, change: studyInput.partial() }), done),
  'studies.setModel': writes(z.object({ studyId: id, model: z.string().max(2000).nullable() }), done),
  'studies.setArchived': writes(z.object({ studyId: id, archived: z.boolean() }), done),
  /** Makes the demo study of an invented film; the same seed makes the same numbers. */
  'studies.demo': writes(z.object({ seed: z.number().int().min(0).optional() }), ofStudy),
}

// ── tools ───────────────────────────────────────────────────────────────────

const tools = {
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

// ── plans ───────────────────────────────────────────────────────────────────

const plans = {
  /**
   * Computes a design without keeping it: run table, evaluation, budget. A newer one asked by the same page ends
   * this one, which is then answered with the problem `superseded`.
   */
  'plans.preview': reads(
    z.object({ studyId: id, factors: z.array(factor).max(12), design: designSettings }),
    plan,
  ),
  /**
   * Keeps factors and design as a new stage. A stage none of whose runs has been coated or read, named in
   * `replaces`, goes away in the same step.
   */
  'plans.save': writes(
    z.object({
      studyId: id,
      factors: z.array(factor).min(1).max(12),
      design: designSettings,
      replaces: id.optional(),
    }),
    z.object({ stageId: id, runs: z.number().int() }),
  ),
  /** Adds one run by hand with the given settings. */
  'plans.addRun': writes(
    z.object({ studyId: id, settings, lot: z.string().nullable(), note: text.optional() }),
    z.object({ runId: id }),
  ),
  /** What the runs that are still planned will cost. */
  'plans.remaining': reads(ofStudy, budget),
}

// ── bench ───────────────────────────────────────────────────────────────────

export const site = z.object({ site: z.number().int(), xMm: z.number(), yMm: z.number() })

/** A point of the spin program drawn as speed against time. */
export const programPoint = z.object({ time: z.number(), rpm: z.number() })

/** A run with what its readings say: one row of the table of runs. */
export const runRow = run.extend({
  readings: z.number().int(),
  film: filmSummary.nullable(),
  /** Means of responses other than thickness, by name. */
  responses: z.record(z.string(), z.number()),
})

export const runCard = z.object({
  run,
  study,
  /** Place among the runs of the study, from 1, and its neighbours in run order. */
  place: z.number().int(),
  of: z.number().int(),
  previous: id.nullable(),
  next: id.nullable(),
  program: z.array(z.object({ rpm: z.number(), ramp: z.number(), time: z.number() })),
  bake: z.object({ display: z.number(), surface: z.number(), time: z.number() }),
  check: programCheck,
  profile: z.array(programPoint),
  cautions: z.array(z.string()),
  sites: z.array(site),
  /** Readings in force: neither withdrawn nor superseded; excluded ones are marked. */
  readings: z.array(reading),
  film: filmSummary.nullable(),
  /** Thickness that the last fit expects here, nm, where there is one. */
  expectedNm: z.number().nullable(),
})

const bench = {
  'bench.runs': reads(ofStudy, z.array(runRow)),
  'bench.card': reads(z.object({ runId: id }), runCard),
  /** Changes what a run was or is to be: settings, lot, state, session, note, or the reason to leave it out. */
  'bench.updateRun': writes(
    z.object({
      runId: id,
      change: z
        .object({
          settings,
          lot: z.string().nullable(),
          state: z.enum(['planned', 'coated', 'measured', 'dropped']),
          session: z.string().max(200).nullable(),
          note: text,
          excluded: z.string().min(1).max(2000).nullable(),
        })
        .partial(),
    }),
    done,
  ),
  /**
   * Takes readings as typed. A site that has one already gets a correction: the new reading supersedes it.
   * All or nothing; one step of undo.
   */
  'bench.enterReadings': writes(
    z.object({
      runId: id,
      quantity: z.string().min(1).max(200).optional(),
      unit: z.string().max(20),
      readings: z
        .array(
          z.object({
            site: z.number().int().min(1).nullable(),
            xMm: z.number().nullable().optional(),
            yMm: z.number().nullable().optional(),
            text: z.string().min(1).max(100),
          }),
        )
        .min(1)
        .max(10000),
    }),
    z.object({ readingIds: z.array(id), warnings: z.array(problem) }),
  ),
  'bench.excludeReading': writes(
    z.object({ readingId: id, reason: z.string().trim().min(1).max(2000) }),
    done,
  ),
  'bench.includeReading': writes(z.object({ readingId: id }), done),
}

// ── imports ─────────────────────────────────────────────────────────────────

export const columnMeaning = z.object({
  column: z.string(),
  /** `wide site` is one site of a row that is a wafer; `reading` is the value of a row that is a site. */
  means: z.enum([
    'ignored',
    'run',
    'site',
    'x',
    'y',
    'reading',
    'wide site',
    'factor',
    'response',
    'lot',
    'session',
    'block',
    'plate visit',
    'stage',
    'run order',
    'standard order',
    'kind',
    'state',
    'note',
    'typed text',
    'typed unit',
    'unit',
    'read at',
    'quantity',
    'excluded',
    'run excluded',
  ]),
  /** Name of the factor, response or quantity read, number of the site of a wide column, else empty. */
  name: z.string(),
  /** Unit of the column's numbers; empty: that of the study, mm for positions. */
  unit: z.string(),
})

const importSource = z.object({
  fileName: z.string().max(500),
  text: z.string().max(200_000_000),
  decimal: z.enum(['comma', 'point']).optional(),
  columns: z.array(columnMeaning).optional(),
})

export const importPreview = z.object({
  /** `runs`: a row is a run. `readings`: a row is one reading. `wide readings`: a row is a wafer with its sites. */
  shape: z.enum(['runs', 'readings', 'wide readings']),
  delimiter: z.string(),
  decimal: z.enum(['comma', 'point']),
  columns: z.array(columnMeaning),
  /** First rows as they stand in the file, without the header. */
  rows: z.array(z.object({ row: z.number().int(), cells: z.array(z.string()) })),
  rowCount: z.number().int(),
  runs: z.number().int(),
  newRuns: z.number().int(),
  readings: z.number().int(),
  /** Readings that will come in marked as excluded, with the reason (zero, negative, beyond the edge). */
  flagged: z.array(problem),
  /** What a person should look at first: readings whose unit may have been mistaken. */
  warnings: z.array(problem),
  /** Readings that will supersede others which stand at their place. */
  corrected: z.array(problem),
  /**
   * What stays out, by row: summaries of the file's own (mean, std, min, max), lines above the table, failed
   * points (NaN, ---, OL, empty), readings that are there already.
   */
  leftAside: z.array(problem),
  /** While there is one of these nothing can be imported. */
  problems: z.array(problem),
})

const imports = {
  'imports.preview': reads(importSource.extend({ studyId: id }), importPreview),
  /** All or nothing: where a row is bad the answer is the problems, by row, and nothing is kept. */
  'imports.commit': writes(
    importSource.extend({ studyId: id }),
    z.object({ importId: id, runs: z.number().int(), readings: z.number().int() }),
  ),
}

// ── fits ────────────────────────────────────────────────────────────────────

export const fitTable = z.object({
  columns: z.array(z.object({ name: z.string(), unit: z.string(), categorical: z.boolean() })),
  rows: z.array(
    z.object({
      runId: id,
      code: z.string(),
      values: z.record(z.string(), setting.nullable()),
      /** Reason, where the run is left out of the fit. */
      excluded: z.string().nullable(),
    }),
  ),
})

export const curve = z.object({
  factor: z.string(),
  unit: z.string(),
  points: z.array(
    z.object({
      x: z.number(),
      estimate: z.number(),
      confidence: z.tuple([z.number(), z.number()]),
      prediction: z.tuple([z.number(), z.number()]),
    }),
  ),
})

export const contour = z.object({
  x: z.object({ name: z.string(), unit: z.string(), low: z.number(), high: z.number() }),
  y: z.object({ name: z.string(), unit: z.string(), low: z.number(), high: z.number() }),
  columns: z.number().int(),
  rows: z.number().int(),
  /** Row by row from low y, `columns` values a row, estimate in the response's unit. */
  values: z.array(z.number()),
})

const fitArgs = z.object({
  studyId: id,
  /** The response: `thickness` or the name of another quantity. */
  response: z.string(),
  /** The whole formula, such as log(thickness) ~ log(speed) + bake. */
  model: z.string().max(2000),
  level: z.number().gt(0).lt(1).optional(),
})

export const modelSuggestion = z.object({
  model: z.string(),
  /** When to choose it, in a plain sentence. */
  words: z.string(),
  terms: z.number().int(),
})

const fits = {
  'fits.models': reads(
    z.object({ studyId: id, response: z.string() }),
    z.object({ responses: z.array(z.string()), suggestions: z.array(modelSuggestion) }),
  ),
  'fits.table': reads(ofStudy, fitTable),
  'fits.fit': reads(fitArgs, z.object({ fit, dataHash: z.string(), runIds: z.array(id) })),
  /** The fitted curve over one factor at the working point of the others. */
  'fits.curve': reads(fitArgs.extend({ factor: z.string(), at: settings }), curve),
  'fits.contour': reads(fitArgs.extend({ x: z.string(), y: z.string(), at: settings }), contour),
  'fits.predict': reads(fitArgs.extend({ at: z.array(settings).max(1000) }), z.array(predictionResult)),
}

// ── next ────────────────────────────────────────────────────────────────────

export const ledgerEntry = z.object({
  id,
  at: z.string(),
  runId: id.nullable(),
  code: z.string().nullable(),
  settings,
  model: z.string(),
  dataHash: z.string(),
  estimate: z.number(),
  lower: z.number(),
  upper: z.number(),
  chance: z.number().nullable(),
  measured: z.number().nullable(),
  inside: z.boolean().nullable(),
  /** Why the interval is not held against the run; null where it is. */
  notJudged: z.enum(['not measured', 'left out', 'another session', 'session not known']).nullable(),
})

const next = {
  /** Can take a second. A newer one asked by the same page ends this one with the problem `superseded`. */
  'next.recommend': reads(
    fitArgs.extend({
      target: z.number().positive(),
      tolerance: z.number().positive(),
      aims: z.array(z.enum(['reach', 'learn', 'both'])).optional(),
      count: z.number().int().min(1).max(20).optional(),
      seed: z.number().int().optional(),
    }),
    recommendation.extend({ dataHash: z.string() }),
  ),
  /** Adds the choice to the plan as a stage of its own and writes its prediction into the ledger. */
  'next.take': writes(fitArgs.extend({ choice, dataHash: z.string() }), z.object({ runId: id, stageId: id })),
  'next.ledger': reads(ofStudy, z.array(ledgerEntry)),
}

// ── lots ────────────────────────────────────────────────────────────────────

const lots = {
  'lots.compare': reads(
    fitArgs.extend({
      by: z.string(),
      groups: z.array(z.string()).max(50).optional(),
      target: z.number().positive().nullable(),
      margin: z.number().gt(0).lt(1).nullable(),
    }),
    comparison.extend({
      /** One curve a group over speed, at the working point of the other factors. */
      curves: z.array(curve.extend({ group: z.string() })),
      dataHash: z.string(),
      problems: z.array(problem),
    }),
  ),
}

// ── reports ─────────────────────────────────────────────────────────────────

const csvFile = z.object({ fileName: z.string(), text: z.string() })

const reports = {
  'reports.runsCsv': reads(ofStudy, csvFile),
  'reports.readingsCsv': reads(ofStudy, csvFile),
}

// ── history ─────────────────────────────────────────────────────────────────

export const step = z.object({
  id: z.number().int(),
  at: z.string(),
  who: z.string(),
  label: z.string(),
  state: z.enum(['done', 'undone']),
})

const history = {
  'history.list': reads(
    z.object({ studyId: id, limit: z.number().int().min(1).max(1000).optional() }),
    z.array(step),
  ),
  /** Takes back the last step in this study; its label, or null where there is none. */
  'history.undo': writes(ofStudy, z.object({ label: z.string().nullable() })),
  'history.redo': writes(ofStudy, z.object({ label: z.string().nullable() })),
}

// ── application ─────────────────────────────────────────────────────────────

const application = {
  'application.about': reads(
    nothing,
    z.object({
      version: z.string(),
      database: z.string(),
      schema: z.number().int(),
      warnings: z.array(problem),
    }),
  ),
  'sites.map': reads(
    z.object({ name: siteMapName, diameterMm: z.number().positive(), edgeExclusionMm: z.number().min(0) }),
    z.array(site),
  ),
}

export const calls = {
  ...application,
  ...studies,
  ...tools,
  ...plans,
  ...bench,
  ...imports,
  ...fits,
  ...next,
  ...lots,
  ...reports,
  ...history,
}

export { runKind, stage }
