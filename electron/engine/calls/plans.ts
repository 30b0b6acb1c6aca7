import type { PlannedRun } from '../../../shared/contract/results/plan.ts'
import type { DesignSettings, Factor, Run, Settings, Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs } from '../../../shared/contract.ts'
import { unitsOf } from '../../../shared/film/run-summary.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { dayOf } from '../../../shared/process/bottle-state.ts'
import { benchFigures, budgetOf } from '../../../shared/process/budget.ts'
import { referenceSettings } from '../../../shared/process/reference-settings.ts'
import { designKindWords } from '../../../shared/words.ts'
import type { Store } from '../store/open.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { addRun, freeCodes, removeStage, runsOf } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { addStage, dropFactor, keepFactor } from '../store/studies.ts'
import { checkFactorNames, checkSettings } from './check-settings.ts'
import { findStudy, type Handlers } from './handler.ts'

type Names = 'plans.preview' | 'plans.save' | 'plans.addRun' | 'plans.remaining'

export const plans: Handlers<Names> = {
  'plans.preview': { computation: 'plan', newestOnly: true, ask: planInput, finish: good },

  'plans.save': {
    computation: 'planWithoutWays',
    ask: planInput,
    finish(plan, { studyId, factors, design, replaces }, store) {
      const { db } = store
      const found = findStudy(store, studyId)
      if (!found.ok) return found
      const study = found.value
      if (replaces !== undefined) {
        const replaced = replaceStage(store, study, replaces)
        if (!replaced.ok) return replaced
      }
      const runs = runsOf(db, studyId)
      const problems = [
        ...checkFactorNames(factors, [...unitsOf(summariesOfStudy(db, study, runs).values()).keys()]),
        ...factorsInUse(study.factors, factors, runs),
      ]
      if (problems.length > 0) return { ok: false, problems }
      keepFactors(store, study, factors, runs)

      const title = stageTitle(factors, design.kind)
      const stageId = addStage(db, studyId, { kind: 'grid', title, design })
      const codes = freeCodes(runs, plan.runs.length)
      const last = lastPlaces(runs)
      const sessionName = namesOfSessions(plan.runs, runs)
      plan.runs.forEach((planned, i) => {
        addRun(db, {
          studyId,
          stageId,
          code: codes[i] as string,
          standardOrder: planned.standardOrder,
          runOrder: last.runOrder + planned.runOrder,
          block: last.block + planned.block,
          plateVisit: planned.plateVisit === null ? null : last.plateVisit + planned.plateVisit,
          kind: planned.kind,
          lot: lotOf(study, factors, planned.settings),
          settings: planned.settings,
          session: sessionName(planned.session),
        })
      })
      const words = replaces === undefined ? 'Planned' : 'Planned anew'
      describeStep(db, { label: `${words}: ${title}, ${codes.length} runs`, studyId })
      return good({ stageId, runs: codes.length })
    },
  },

  'plans.addRun': ({ studyId, settings, lot, note }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const problems = checkSettings(found.value.factors, settings)
    if (problems.length > 0) return { ok: false, problems }
    const stageId =
      found.value.stages.find((stage) => stage.kind === 'by hand')?.id ??
      addStage(store.db, studyId, { kind: 'by hand', title: 'Added by hand', design: null })
    const run = addPlannedRun(store, { studyId, stageId, kind: 'by hand', settings, lot, note: note ?? '' })
    describeStep(store.db, { label: `Added run ${run.code}`, studyId })
    return good({ runId: run.id })
  },

  'plans.remaining': ({ studyId }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const bake = found.value.factors.find((factor) => factor.role === 'bake temperature')
    const planned = runsOf(store.db, studyId).filter((run) => run.state === 'planned')
    const runs = planned.map(({ settings, session }) => {
      const temperature = bake && settings[bake.name]
      return { session, plateTemperature: typeof temperature === 'number' ? temperature : null }
    })
    return good(budgetOf({ runs, bench: benchFigures(found.value) }))
  },
}

/** What a plan for the study is made from. */
function planInput({ studyId, factors, design }: CheckedArgs<'plans.preview'>, store: Store) {
  const study = findStudy(store, studyId)
  if (!study.ok) return study
  const reference = referenceSettings(study.value, factors)
  return good({ factors, design, bench: benchFigures(study.value), reference })
}

/** Planned sessions get the next free names of their kind, since a stage is made on days of its own. */
function namesOfSessions(planned: readonly PlannedRun[], before: readonly Run[]) {
  const names = [...new Set(planned.flatMap(({ session }) => session ?? []))]
  return (session: string | null) => (session === null ? null : freeSession(before, names.indexOf(session)))
}

/** The name of a session after all those that the runs have, and after so many new ones. */
export function freeSession(runs: readonly Run[], after = 0): string {
  const numbers = runs.map(({ session }) => Number(/^Session (\d+)$/.exec(session ?? '')?.[1] ?? 0))
  return `Session ${Math.max(0, ...numbers) + after + 1}`
}

/**
 * The session of the run coated last, where that was today; else a new one. Null where that run names none: a new name
 * would make the same visit to the tools count as another day.
 */
export function presentSession(runs: readonly Run[], now: Date): string | null {
  const coated = runs.filter(({ coatedAt }) => coatedAt !== null)
  const last = coated.sort((a, b) => (a.coatedAt as string).localeCompare(b.coatedAt as string)).at(-1)
  const same = last !== undefined && dayOf(new Date(last.coatedAt as string)) === dayOf(now)
  return same ? last.session : freeSession(runs)
}

/** Adds one planned run at the end of the run order. */
export function addPlannedRun(
  { db }: Store,
  run: Pick<Run, 'studyId' | 'stageId' | 'kind' | 'settings' | 'lot' | 'note'> &
    Partial<Pick<Run, 'recipeId' | 'session' | 'block' | 'plateVisit'>>,
): { id: string; code: string } {
  const others = runsOf(db, run.studyId)
  const last = lastPlaces(others)
  const code = freeCodes(others, 1)[0] as string
  const id = addRun(db, {
    block: Math.max(1, last.block),
    plateVisit: null,
    ...run,
    code,
    standardOrder: null,
    runOrder: last.runOrder + 1,
  })
  return { id, code }
}

/** The lot that a run gets: the one its settings say, else the first of the study. */
export function lotOf(study: Study, factors: readonly Factor[], settings: Settings): string | null {
  const factor = factors.find((candidate) => candidate.role === 'lot')
  const setting = factor && settings[factor.name]
  return setting === undefined ? (study.lots[0] ?? null) : String(setting)
}

/** Where the study's runs end: a new stage goes on from there, its blocks and plate visits are its own. */
export function lastPlaces(runs: readonly Run[]): { runOrder: number; block: number; plateVisit: number } {
  return {
    runOrder: Math.max(0, ...runs.map((run) => run.runOrder)),
    block: Math.max(0, ...runs.map((run) => run.block)),
    plateVisit: Math.max(0, ...runs.map((run) => run.plateVisit ?? 0)),
  }
}

function replaceStage({ db }: Store, study: Study, stageId: string): Answer<null> {
  if (!study.stages.some((stage) => stage.id === stageId))
    return refuse('noSuchStage', 'The stage to be replaced is not in this study (any more).')
  const started = runsOf(db, study.id).find((run) => run.stageId === stageId && run.state !== 'planned')
  if (started)
    return refuse(
      'stageStarted',
      `Run ${started.code} of this stage is ${started.state} already, so the stage stays. Plan a further one.`,
    )
  removeStage(db, stageId)
  return good(null)
}

/** Factors that runs of the study have settings for keep their unit and kind, or those settings would lie. */
function factorsInUse(before: readonly Factor[], after: readonly Factor[], runs: readonly Run[]): Problem[] {
  return after.flatMap((factor): Problem[] => {
    const old = before.find(({ name }) => name === factor.name)
    if (!old || (old.unit === factor.unit && old.kind === factor.kind)) return []
    const user = runs.find((run) => factor.name in run.settings)
    if (!user) return []
    return [
      {
        code: 'factorInUse',
        message:
          `Run ${user.code} has a setting of ${factor.name} in ${old.unit || 'no unit'}. ` +
          'Its unit and kind stay; give the new factor another name.',
        column: factor.name,
      },
    ]
  })
}

function keepFactors({ db }: Store, study: Study, factors: readonly Factor[], runs: readonly Run[]): void {
  factors.forEach((factor, i) => {
    keepFactor(db, study.id, factor, i + 1)
  })
  const left = study.factors.filter(({ name }) => !factors.some((factor) => factor.name === name))
  left.forEach((factor, i) => {
    if (runs.some((run) => factor.name in run.settings))
      keepFactor(db, study.id, factor, factors.length + i + 1)
    else dropFactor(db, study.id, factor.name)
  })
}

function stageTitle(factors: readonly Factor[], kind: DesignSettings['kind']): string {
  const names = factors.map((factor) => factor.name).join(', ')
  if (kind !== 'full') return `${designKindWords[kind].label} over ${names}`
  const sizes = factors.map((f) => (f.kind === 'categorical' ? f.levelNames.length : f.levels))
  return `Grid ${sizes.join(' × ')} of ${names}`
}
