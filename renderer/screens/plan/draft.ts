import type {
  DesignSettings,
  Factor,
  FactorRole,
  Run,
  Stage,
  Study,
} from '../../../shared/contract/things.ts'
import type { Coater } from '../../../shared/contract/tools.ts'
import { mainSegment } from '../../../shared/process/spin-program.ts'
import { studyDefaults } from '../../../shared/study-defaults.ts'
import { roleWords } from '../../../shared/words.ts'

/** A plan that is being made: nothing of it is kept by the engine yet. */
export type PlanDraft = {
  factors: Factor[]
  design: DesignSettings
}

/** What a study knows that a new factor takes over: its lots, its recipe, and what its coater's speed can be set to. */
export type KnownOfStudy = Partial<Recipe> & {
  lots?: readonly string[]
  coater?: Pick<Coater, 'speedStep'> | null
}
type Recipe = Pick<Study, 'program' | 'bakeTemperature' | 'bakeTime'>

/** A new factor of a role, with the range that is usual for it (common practice, no source). */
export function newFactor(role: FactorRole, taken: readonly string[], study: KnownOfStudy = {}): Factor {
  const { lots = [], coater = null } = study
  const usual = roleWords[role]
  const { low, high } = rangeFor(role, study)
  const categorical = role === 'lot'
  return {
    name: freeName(usual.name, taken),
    role,
    unit: usual.unit,
    kind: categorical ? 'categorical' : 'continuous',
    low: categorical ? null : low,
    high: categorical ? null : high,
    levels: role === 'time' ? 2 : 3,
    levelNames: categorical ? (lots.length >= 2 ? [...lots] : ['A', 'B']) : [],
    step: stepOf(role, coater),
    scale: role === 'speed' ? 'log' : 'linear',
    hardToChange: role === 'bake temperature',
  }
}

/**
 * The usual range of a role. Where the study's own recipe does not lie within it: the range that lies about that recipe as
 * the usual one does about the usual recipe.
 */
function rangeFor(role: FactorRole, { program, bakeTemperature, bakeTime }: KnownOfStudy) {
  const { low, high, step } = roleWords[role]
  const usual = settingIn(studyDefaults, role)
  const own =
    program && bakeTemperature !== undefined && bakeTime !== undefined
      ? settingIn({ program, bakeTemperature, bakeTime }, role)
      : null
  if (own === null || usual === null || step === null || own <= 0 || (low < own && own < high))
    return { low, high }
  const moved = (end: number) => (role === 'bake temperature' ? end + own - usual : (end * own) / usual)
  const settled = (end: number) => Math.max(step, step * Math.round(moved(end) / step))
  return { low: settled(low), high: settled(high) }
}

/** What a recipe sets of a role; null for what it does not say. */
function settingIn({ program, bakeTemperature, bakeTime }: Recipe, role: FactorRole): number | null {
  if (role === 'bake temperature') return bakeTemperature
  if (role === 'bake time') return bakeTime
  const main = program[mainSegment(program)]
  if (!main) return null
  return { speed: main.rpm, time: main.time, ramp: main.ramp, lot: null, other: null }[role]
}

function stepOf(role: FactorRole, coater: KnownOfStudy['coater']): number | null {
  return role === 'speed' && coater ? coater.speedStep : roleWords[role].step
}

/** The name, or the name with the first number that makes it free. */
export function freeName(name: string, taken: readonly string[]): string {
  if (!taken.includes(name)) return name
  for (let n = 2; ; n++) if (!taken.includes(`${name}_${n}`)) return `${name}_${n}`
}

/** A factor that now sets something else: unit, range and scale start anew, the name too unless it was typed. */
export function withRole(
  factor: Factor,
  role: FactorRole,
  taken: readonly string[],
  study: KnownOfStudy,
): Factor {
  const fresh = newFactor(role, taken, study)
  const usualName = factor.name === '' || factor.name.replace(/_\d+$/, '') === roleWords[factor.role].name
  return { ...fresh, name: usualName ? fresh.name : factor.name }
}

/** A factor by range made one by named levels, or back. */
export function withKind(factor: Factor, kind: Factor['kind'], study: KnownOfStudy = {}): Factor {
  if (kind === factor.kind) return factor
  if (kind === 'categorical')
    return {
      ...factor,
      kind,
      low: null,
      high: null,
      step: null,
      scale: 'linear',
      levelNames: ['A', 'B'],
      levels: 2,
    }
  const { low, high } = rangeFor(factor.role, study)
  return { ...factor, kind, low, high, step: stepOf(factor.role, study.coater), levelNames: [], levels: 3 }
}

export function newDesign(seed: number): DesignSettings {
  return { kind: 'full', replicates: 1, centre: 0, blocks: 1, seed, sigma: null, power: 0.8 }
}

/** What the plan screen starts with: the study's factors and the design of its last planned stage. */
export function draftOf(study: Pick<Study, 'factors' | 'stages'>, seed: number): PlanDraft {
  const last = study.stages.filter((stage) => stage.design !== null).at(-1)
  return {
    factors: study.factors.map((factor) => ({ ...factor, levelNames: [...factor.levelNames] })),
    design: { ...(last?.design ?? newDesign(seed)) },
  }
}

export type StageState = { stage: Stage; runs: number; measured: number; untouched: boolean }

/** Each stage with the progress of its runs. Untouched: no run coated or read, so that it can be replaced. */
export function stageStates(
  stages: readonly Stage[],
  runs: readonly (Pick<Run, 'stageId' | 'state'> & { readings: number })[],
): StageState[] {
  return stages.map((stage) => {
    const own = runs.filter((run) => run.stageId === stage.id)
    return {
      stage,
      runs: own.filter((run) => run.state !== 'dropped').length,
      measured: own.filter((run) => run.state === 'measured').length,
      untouched: own.every((run) => run.state === 'planned' && run.readings === 0),
    }
  })
}
