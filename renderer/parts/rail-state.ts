import { computed } from 'vue'

import { useRuns } from '../stores/runs.ts'
import type { Screen } from '../stores/screens.ts'
import { useStudy } from '../stores/study.ts'
import { words } from './words.ts'

/** The state of the study in a few words for each screen, as the rail shows it. */
export function useRailState() {
  const store = useStudy()
  const runs = useRuns()

  return computed<Record<Screen, string>>(() => {
    const study = store.study
    const open = store.list.filter((each) => !each.archived).length
    const states: Record<Screen, string> = {
      studies: store.listed ? words.railState.studies(open) : '',
      plan: '',
      bench: '',
      curves: '',
      next: '',
      lots: '',
      report: '',
    }
    if (study === null) return states
    const lots = new Set(runs.measured.map((run) => run.lot).filter((lot) => lot !== null))
    states.plan = runs.kept.length > 0 ? words.railState.planned(runs.kept.length) : words.railState.noRuns
    states.bench = runs.kept.length > 0 ? words.railState.read(runs.measured.length, runs.kept.length) : ''
    states.curves = study.model
      ? words.railState.modelChosen
      : runs.measured.length >= 3
        ? words.railState.readyToFit
        : words.railState.tooFew
    const chosen = new Set(study.stages.filter(({ kind }) => kind === 'next').map(({ id }) => id))
    const toMake = runs.kept.filter(
      ({ stageId, state }) => chosen.has(stageId) && (state === 'planned' || state === 'coated'),
    ).length
    states.next =
      toMake > 0
        ? words.railState.toMake(toMake)
        : runs.measured.length >= 3
          ? words.railState.ready
          : words.railState.tooFew
    states.lots = words.railState.lots(lots.size)
    return states
  })
}
