import type { DesignSettings, Factor, Run, Settings } from '../../../shared/contract/things.ts'
import { type OwnField, ownFields } from '../../../shared/design/own-fields.ts'

export type ExtraField = OwnField | 'visits' | 'varianceRatio' | 'visitOrder'

/** Fields that a kind of design asks for beyond those of every design; visits where a factor is hard to change. */
export function extraFields(kind: DesignSettings['kind'], factors: readonly Factor[]): ExtraField[] {
  const visits: ExtraField[] = factors.some((factor) => factor.hardToChange)
    ? ['visits', 'varianceRatio', 'visitOrder']
    : []
  return [...ownFields[kind], ...visits]
}

/** Fields that a kind cannot do without stand in the open; the others open on demand. */
export const openFields: readonly ExtraField[] = ['runs', 'star', 'criterion', 'fraction']

/** The design without what its kind does not ask for, so that a field that is not seen has no say. */
export function withoutUnseen(design: DesignSettings, factors: readonly Factor[]): DesignSettings {
  const seen = new Set<string>(extraFields(design.kind, factors))
  const always = [
    'kind',
    'replicates',
    'centre',
    'blocks',
    'seed',
    'sigma',
    'power',
    'sessions',
    'reference',
    'reading',
    'start',
  ]
  const entries = Object.entries(design).filter(([key]) => always.includes(key) || seen.has(key))
  return Object.fromEntries(entries) as DesignSettings
}

/** Settings of the runs of the study that have all the factors, for a design that completes them. */
export function keptSettings(
  runs: readonly Pick<Run, 'settings' | 'state'>[],
  factors: readonly Factor[],
): Settings[] {
  const names = factors.map((factor) => factor.name)
  return runs
    .filter((run) => run.state !== 'dropped' && names.every((name) => run.settings[name] !== undefined))
    .map((run) => Object.fromEntries(names.map((name) => [name, run.settings[name] as number | string])))
}
