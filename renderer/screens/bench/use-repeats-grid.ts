import { computed } from 'vue'
import { ofStage } from '../../../shared/film/reading-stage.ts'
import type { askedQuestions } from './asked-questions.ts'
import { type RunCard, useBench } from './bench-store.ts'
import type { Cell } from './grid-selection.ts'
import { spotKey } from './spot.ts'
import { placeKey, useSheet } from './use-sheet.ts'
import { words } from './words/grid.ts'

/** Readings of one run, a site a row and a repeat a column. */
export function useRepeatsGrid(
  card: () => RunCard,
  repeats: () => number,
  questions: () => ReturnType<typeof askedQuestions>,
) {
  const bench = useBench()
  const placeAt = ({ row, column }: Cell) => {
    const site = card().sites[row]
    return site ? { runId: card().run.id, site: site.site, repeat: column + 1 } : null
  }
  const readings = computed(() => {
    const { study } = card()
    const sited = card().readings.flatMap((reading) => {
      const { site, quantity } = reading
      return site === null || quantity !== 'thickness' ? [] : [{ ...reading, site }]
    })
    return ofStage(sited, study, study.readAfter).counting
  })
  return useSheet({
    rows: () => card().sites.map(({ site }) => words.heads.site(site)),
    columns: () => Array.from({ length: repeats() }, (_, k) => words.heads.repeat(k + 1)),
    names: { rows: words.heads.sites, columns: words.heads.repeats },
    studyId: () => card().study.id,
    placeAt,
    readings: () => new Map(readings.value.map((reading) => [placeKey(reading), reading])),
    // What is odd about the whole run is said above the grid.
    oddities: () => ({
      ofRow: '',
      at: (cell) => {
        const place = placeAt(cell)
        return (place && questions().bySpot.get(spotKey(place))?.words) ?? ''
      },
    }),
    runOf: (runId) => (card().run.id === runId ? { ...card(), code: card().run.code } : null),
    load: bench.load,
  })
}
