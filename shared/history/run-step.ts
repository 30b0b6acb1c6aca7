import type { RunState } from '../contract/things.ts'
import type { Args } from '../contract.ts'

type Change = Args<'bench.updateRun'>['change']

const ofState: Record<RunState, (code: string) => string> = {
  planned: (code) => `Took ${code} back to planned`,
  coated: (code) => `Coated ${code}`,
  measured: (code) => `Marked ${code} as measured`,
  failed: (code) => `Marked ${code} as a failed coat`,
  dropped: (code) => `Dropped ${code}`,
}

const ofField: { [Field in keyof Change]: string } = {
  settings: 'the settings',
  lot: 'the lot',
  session: 'the session',
  note: 'the note',
  actual: 'what was really set',
  steps: 'the steps',
  stepsDone: 'what is done',
  substrate: 'the substrate',
  defect: 'the defect',
}

/** What a change of a run is called in the history: of its state first, else of the one thing that it changes. */
export function runStep(code: string, change: Change): string {
  if (change.state !== undefined) return ofState[change.state](code)
  const fields = Object.keys(change) as (keyof Change)[]
  const [only] = fields
  if (fields.length !== 1 || only === undefined) return `Changed run ${code}`
  if (only === 'excluded')
    return change.excluded === null ? `Took ${code} back into the fits` : `Left ${code} out of the fits`
  return `Changed ${ofField[only]} of ${code}`
}
