import type { Result } from '../../shared/contract.ts'

export type Step = Result<'history.list'>[number]

/** The step that undo would take back: the newest one that is done. */
export function nextToUndo(steps: readonly Step[]): Step | null {
  return newest(steps.filter((step) => step.state === 'done'))
}

/** The step that redo would do again: the oldest undone one after every step that is done. */
export function nextToRedo(steps: readonly Step[]): Step | null {
  const done = newest(steps.filter((step) => step.state === 'done'))
  const after = steps.filter((step) => step.state === 'undone' && (done === null || step.id > done.id))
  return after.reduce<Step | null>(
    (least, step) => (least === null || step.id < least.id ? step : least),
    null,
  )
}

function newest(steps: readonly Step[]): Step | null {
  return steps.reduce<Step | null>((most, step) => (most === null || step.id > most.id ? step : most), null)
}
