import type { Run, Settings, Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs } from '../../../shared/contract.ts'
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

/** What a call about a fit says of its kind; nothing of it is plain least squares. */
type FitKind = Omit<CheckedArgs<'fits.fit'>, 'studyId' | 'response' | 'model' | 'level'>

/** The same, with the kind of fit where it is not plain least squares. */
export type FitOfKindInput = FitInput & FitKind & { others?: EarlierStudy[] | undefined }

/** A model fitted to the runs of a study, with the runs and columns that it uses. */
export type StudyFit<M extends AnyFit = FittedModel> = StudyData & { model: M; frame: Frame }

/** What a fit is made of, whatever its kind. */
const optionsOf = ({ found, model, level }: FitInput) => ({
  table: found.data.table,
  model,
  ...(level === undefined ? {} : { level }),
})

/** The fit with the runs that it is of, or its problems naming runs. */
function onRuns<M extends AnyFit & { fitted: { frame: Frame } }>(
  found: StudyData,
  fitted: Answer<M>,
): Answer<StudyFit<M>> {
  return fitted.ok
    ? good({ ...found, model: fitted.value, frame: fitted.value.fitted.frame })
    : { ok: false, problems: namingRuns(fitted.problems, found.data.runs) }
}

/** Fits a model by least squares to the runs of the study that are not excluded. */
export function fitRuns(input: FitInput): Answer<StudyFit> {
  const options = optionsOf(input)
  return onRuns(
    input.found,
    keptBy(['least squares', options], () => fitModel(options)),
  )
}

/** A kind of fit: all that a call may say of it but for what belongs to the groups of `random`. */
type KindName = Exclude<keyof FitKind, 'stated' | 'earlier'>

/** Every kind of fit but plain least squares. */
const byKind: Record<KindName, (input: FitOfKindInput) => Answer<StudyFit<AnyFit>>> = {
  overDays: ({ others = [], ...input }) => fitRunsOverDays({ ...input, others }),
  random: (input) => {
    const { random = '', stated, earlier } = input
    const known = { stated: variancesOf(stated), earlier: variancesOf(earlier) }
    const asked = { ...optionsOf(input), ...known, ...presentOf(input.found.data.runs), random }
    return onRuns(
      input.found,
      keptBy(['groups', asked], () => fitMixed(asked)),
    )
  },
  robust: (input) => {
    const asked = { ...optionsOf(input), kind: input.robust ?? 'huber' }
    return onRuns(
      input.found,
      keptBy(['robust', asked], () => fitRobust(asked)),
    )
  },
}

/** The same by the kind of fit that is asked for, one at most. */
export function fitRunsByKind(input: FitOfKindInput): Answer<StudyFit<AnyFit>> {
  if (input.random === undefined && (input.stated ?? input.earlier) !== undefined)
    return refuse('noGroups', 'A variance is stated, but no groups are named whose variance it is.', {
      column: 'random',
    })
  const [kind, other] = (Object.keys(byKind) as KindName[]).filter((name) => input[name])
  if (other !== undefined)
    return refuse(
      'twoKinds',
      'Over days, with variances of groups, robust: these are kinds of fit. Choose one.',
      {
        column: other,
      },
    )
  return kind === undefined ? fitRuns(input) : byKind[kind](input)
}

/** The runs, and other studies on the same tools. */
export type OverDaysInput = FitInput & { others: EarlierStudy[] }

/** Fits a model to the runs with the variances between sessions and visits to the plate. */
export function fitRunsOverDays({ others, ...input }: OverDaysInput): Answer<StudyFit<Searchable>> {
  const { found, model } = input
  const asked = { ...optionsOf(input), ...presentOf(found.data.runs), ...daysOf(model, others) }
  return onRuns(
    found,
    keptBy(['over days', asked], () => fitOverDays(asked)),
  )
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

function variancesOf(known: FitKind['stated'] = {}): Record<string, StatedVariance> {
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
