import type { Run, Settings, Study } from '../../../shared/contract/things.ts'
import { largest, smallest } from '../../../shared/extremes.ts'
import { type AnyFit, type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import type { Frame } from '../../../shared/model/frame.ts'
import { workingPoint } from '../../../shared/model/groups.ts'
import { fitMixed } from '../../../shared/model/mixed.ts'
import { fitOverDays, isThickness, type OverDays } from '../../../shared/model/over-days.ts'
import { fitRobust } from '../../../shared/model/robust.ts'
import type { StatedVariance } from '../../../shared/model/stated-variance.ts'
import { columnNamed, type Table } from '../../../shared/model/table.ts'
import type { Searchable } from '../../../shared/next/predictor.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import type { Replaced } from '../../../shared/process/actual-settings.ts'
import { type EarlierStudy, earlierSpread } from './earlier-spread.ts'
import { keptBy } from './kept.ts'

/** The measured runs of a study as data: one row a run. */
export type StudyTable = {
  table: Table
  runs: Run[]
  /** By row: why the run is left out of fits, or null. */
  excluded: (string | null)[]
  /** By row: factors that went otherwise than planned; the table holds what really happened. */
  replaced: Replaced[][]
  /** By row: how far the sites scatter about the film's shape, as a share of its thickness; null where that cannot be told. */
  rest: (number | null)[]
  /** Names of the columns that are measured. */
  responses: string[]
}

/** The study's data as a model sees them: without excluded runs. */
export type StudyData = { study: Study; data: StudyTable; dataHash: string }

/** What to fit to the data of a study. */
export type FitInput = { found: StudyData; model: string; level: number | undefined }

type KnownDeviations = Record<string, { standardDeviation: number; df?: number | undefined }>

/** The same, with the kind of fit where it is not plain least squares. */
export type FitOfKindInput = FitInput & {
  overDays?: boolean | undefined
  others?: EarlierStudy[] | undefined
  random?: string | undefined
  stated?: KnownDeviations | undefined
  earlier?: KnownDeviations | undefined
  robust?: 'huber' | 'bisquare' | undefined
}

/** A model fitted to the runs of a study, with the runs and columns that it uses. */
export type StudyFit<M extends AnyFit = FittedModel> = StudyData & { model: M; frame: Frame }

/** Fits a model by least squares to the runs of the study that are not excluded. */
export function fitRuns({ found, model, level }: FitInput): Answer<StudyFit> {
  const { table, runs } = found.data
  const options = { table, model, ...(level === undefined ? {} : { level }) }
  const fitted = keptBy(['least squares', options], () => fitModel(options))
  return fitted.ok
    ? good({ ...found, model: fitted.value, frame: fitted.value.fitted.frame })
    : { ok: false, problems: namingRuns(fitted.problems, runs) }
}

/** The same by the kind of fit that is asked for. */
export function fitRunsByKind({
  overDays,
  others = [],
  random,
  robust,
  stated,
  earlier,
  ...input
}: FitOfKindInput): Answer<StudyFit<AnyFit>> {
  if (overDays) {
    if ((random ?? robust ?? stated) === undefined) return fitRunsOverDays({ ...input, others })
    return refuse('twoKinds', 'A fit over days finds its groups by itself and is not robust: choose one.', {
      column: random === undefined ? 'robust' : 'random',
    })
  }
  if (random === undefined && (stated ?? earlier) !== undefined)
    return refuse('noGroups', 'A variance is stated, but no groups are named whose variance it is.', {
      column: 'random',
    })
  if (random === undefined && robust === undefined) return fitRuns(input)
  const { found, model, level } = input
  const { table, runs } = found.data
  const options = { table, model, ...(level === undefined ? {} : { level }) }
  const failed = (problems: Problem[]) => ({ ok: false as const, problems: namingRuns(problems, runs) })
  if (random === undefined) {
    const asked = { ...options, kind: robust as 'huber' | 'bisquare' }
    const fitted = keptBy(['robust', asked], () => fitRobust(asked))
    return fitted.ok
      ? good({ ...found, model: fitted.value, frame: fitted.value.fitted.frame })
      : failed(fitted.problems)
  }
  if (robust !== undefined)
    return refuse('twoKinds', 'A fit with variances of groups cannot be a robust one as well: choose one.', {
      column: 'robust',
    })
  const known = { stated: variancesOf(stated), earlier: variancesOf(earlier) }
  const asked = { ...options, ...known, ...presentOf(runs), random }
  const fitted = keptBy(['groups', asked], () => fitMixed(asked))
  return fitted.ok
    ? good({ ...found, model: fitted.value, frame: fitted.value.fitted.frame })
    : failed(fitted.problems)
}

/** The runs, and other studies on the same tools. */
export type OverDaysInput = FitInput & { others: EarlierStudy[] }

/** Fits a model to the runs with the variances between sessions and visits to the plate. */
export function fitRunsOverDays({
  found,
  model,
  level,
  others,
}: OverDaysInput): Answer<StudyFit<Searchable>> {
  const { table, runs } = found.data
  const asked = {
    table,
    model,
    ...(level === undefined ? {} : { level }),
    ...presentOf(runs),
    ...daysOf(model, others),
  }
  const fitted = keptBy(['over days', asked], () => fitOverDays(asked))
  return fitted.ok
    ? good({ ...found, model: fitted.value, frame: fitted.value.fitted.frame })
    : { ok: false, problems: namingRuns(fitted.problems, runs) }
}

/** The session of the run coated last, which need not stand last in the plan. */
export function presentOf(runs: readonly Pick<Run, 'session' | 'coatedAt'>[]): { present?: string } {
  const last = runs.reduce<Pick<Run, 'session' | 'coatedAt'> | null>(
    (latest, run) => (latest && (latest.coatedAt ?? '') > (run.coatedAt ?? '') ? latest : run),
    null,
  )
  return last?.session == null ? {} : { present: last.session }
}

/** How sessions and visits to the plate enter a fit of a model, by what other studies tell of them. */
export function daysOf(model: string, others: readonly EarlierStudy[]): OverDays {
  const earlier = model.trimStart().startsWith('log(thickness)') ? earlierSpread(others) : {}
  return { earlier, thickness: isThickness(model) }
}

function variancesOf(known: KnownDeviations = {}): Record<string, StatedVariance> {
  return Object.fromEntries(
    Object.entries(known).map(([group, { standardDeviation, df }]) => [
      group,
      { variance: standardDeviation ** 2, ...(df === undefined ? {} : { df }) },
    ]),
  )
}

/** The range of a factor, widened to what was run. */
export function rangeOf({ study, data }: StudyData, name: string): { low: number; high: number } {
  const factor = study.factors.find((candidate) => candidate.name === name)
  const run = columnNamed(data.table, name)?.values ?? []
  const numbers = [factor?.low, factor?.high, ...run].filter((value) => typeof value === 'number')
  return { low: smallest(numbers), high: largest(numbers) }
}

/** The settings asked for, filled up with the middle of what was run. */
export function pointOf({ frame }: StudyFit<AnyFit>, at: Settings): Settings {
  return { ...workingPoint(frame), ...at }
}

/** Problems that count rows of the table, naming the run instead. */
export function namingRuns(problems: readonly Problem[], runs: readonly Run[]): Problem[] {
  return problems.map((problem) => {
    // The header is row 1, so the first run is row 2.
    const run = problem.row === undefined ? undefined : runs[problem.row - 2]
    if (!run) return problem
    const { row: _, ...rest } = problem
    return { ...rest, message: problem.message.replace(/^Row \d+/, `Run ${run.code}`) }
  })
}
