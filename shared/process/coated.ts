import type { Run, RunState } from '../contract/things.ts'

/** States of a run for which resist was poured. */
export const coatedStates: readonly RunState[] = ['coated', 'measured', 'failed']

/** Whether resist was poured for a run. */
export const isCoated = ({ state }: Pick<Run, 'state'>): boolean => coatedStates.includes(state)
