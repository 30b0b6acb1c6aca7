import type { Run, Study } from '../../../shared/contract/things.ts'
import type { Store } from '../store/open.ts'

/** Thickness in nm that the study's model expects of a run, fitted on the others; null without a fit. */
export function expectedThickness(_store: Store, _study: Study, _run: Run): number | null {
  return null
}
