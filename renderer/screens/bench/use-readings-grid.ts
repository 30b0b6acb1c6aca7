import { computed, onScopeDispose, ref, shallowRef, watch } from 'vue'
import type { Result } from '../../../shared/contract.ts'
import { ofStage } from '../../../shared/film/reading-stage.ts'
import { checkLetter } from '../../../shared/process/check-letter.ts'
import { callEngine, onChanged } from '../../client.ts'
import { soon } from '../../soon.ts'
import { useRoute } from '../../stores/route.ts'
import { askedQuestions } from './asked-questions.ts'
import type { Cell } from './grid-selection.ts'
import { spotKey } from './spot.ts'
import { placeKey, useSheet } from './use-sheet.ts'
import { words } from './words/grid.ts'

type Grid = Result<'bench.readings'>

/** Readings of all runs, a run a row and a site a column: one of the repeats at a time, at the stage that is being read. */
export function useReadingsGrid() {
  const route = useRoute()
  const grid = shallowRef<Grid | null>(null)
  const repeat = ref(1)

  async function readGrid() {
    const studyId = route.studyId
    if (studyId === null) return
    const answer = await callEngine('bench.readings', { studyId })
    if (answer.ok && route.studyId === studyId) grid.value = answer.value
  }
  watch(() => route.studyId, readGrid, { immediate: true })
  const load = soon(readGrid)
  onScopeDispose(onChanged(() => void load()))

  const studyId = () => grid.value?.study.id ?? ''
  const runs = computed(() => grid.value?.runs ?? [])
  const sites = computed(() => grid.value?.sites ?? [])
  const atStage = computed(() =>
    runs.value.flatMap(({ readings }) => {
      const study = grid.value?.study
      return study ? ofStage(readings, study, study.readAfter).counting : []
    }),
  )
  const placeAt = ({ row, column }: Cell) => {
    const [run, site] = [runs.value[row], sites.value[column]]
    return run && site ? { runId: run.id, site: site.site, repeat: repeat.value } : null
  }
  const sheet = useSheet({
    rows: () => runs.value.map(({ code }) => code),
    columns: () => sites.value.map(({ site }) => words.heads.site(site)),
    names: { rows: words.heads.runs, columns: words.heads.sites },
    studyId,
    letter: (code) => checkLetter(studyId(), code),
    placeAt,
    readings: () =>
      new Map(
        atStage.value.map((reading) => [placeKey({ ...reading, site: reading.site as number }), reading]),
      ),
    oddities(row) {
      const study = grid.value?.study
      const run = runs.value[row]
      if (!study || !run) return { ofRow: '', at: () => '' }
      const { bySpot, ofRun } = askedQuestions({ study, ...run })
      return {
        ofRow: ofRun.map(({ words }) => words).join(' '),
        at: (cell) => {
          const place = placeAt(cell)
          return (place && bySpot.get(spotKey(place))?.words) ?? ''
        },
      }
    },
    runOf(runId) {
      const run = runs.value.find(({ id }) => id === runId)
      return grid.value && run ? { ...run, study: grid.value.study, sites: grid.value.sites } : null
    },
    load,
  })
  /** One more than there are, so that the next one can be begun. */
  const repeats = computed(() => 1 + atStage.value.reduce((most, one) => Math.max(most, one.repeat), 1))
  return { sheet, repeat, repeats, problems: computed(() => grid.value?.problems ?? []) }
}
