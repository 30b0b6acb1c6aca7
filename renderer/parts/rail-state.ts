import { computed } from 'vue'
import { count } from '../format.ts'
import { useRuns } from '../stores/runs.ts'
import type { Screen } from '../stores/screens.ts'
import { useStudy } from '../stores/study.ts'

/** The state of the study in a few words for each screen, as the rail shows it. */
export function useRailState() {
  const store = useStudy()
  const runs = useRuns()

  return computed<Record<Screen, string>>(() => {
    const study = store.study
    const open = store.list.filter((each) => !each.archived).length
    const states: Record<Screen, string> = {
      studies: store.listed ? count(open, 'study', 'studies') : '',
      plan: '',
      bench: '',
      curves: '',
      next: '',
      lots: '',
      report: '',
    }
    if (study === null) return states
    const lots = new Set(runs.measured.map((run) => run.lot).filter((lot) => lot !== null))
    states.plan = runs.kept.length > 0 ? `${count(runs.kept.length, 'run')} planned` : 'no runs yet'
    states.bench = runs.kept.length > 0 ? `${runs.measured.length} of ${runs.kept.length} read` : ''
    states.curves = study.model ? 'model chosen' : runs.measured.length >= 3 ? 'ready to fit' : 'too few runs'
    const taken = study.stages.filter((stage) => stage.kind === 'next').length
    states.next = taken > 0 ? `${taken} taken` : runs.measured.length >= 3 ? 'ready' : 'too few runs'
    states.lots = count(lots.size, 'lot')
    return states
  })
}
