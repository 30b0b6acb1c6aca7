import { type Ref, shallowRef, watch } from 'vue'
import type { Result } from '../../../shared/contract.ts'
import { useNewest } from '../../use-newest.ts'
import { movedRuns } from '../curves/moved-runs.ts'
import { useFitView } from '../curves/use-fit-view.ts'

/**
 * The runs where the curves of the lots are drawn: their other factors moved to the working point, each in its own lot.
 * Empty until that is known, and where the model cannot predict them.
 */
export function useMovedRuns(compared: Ref<Result<'lots.compare'> | null>) {
  const { model, runs, scale } = useFitView()
  const { newest } = useNewest()
  const moved = shallowRef<Map<string, number>>(new Map())
  watch(compared, async (comparison) => {
    const question = model.fitted ? model.kindQuestion : null
    const factor = comparison?.curves[0]?.factor
    if (!comparison || !question || !scale.value || factor === undefined) {
      moved.value = new Map()
      await newest(null)
      return
    }
    const { lot: _, ...at } = comparison.at
    const found = await newest(movedRuns({ question, runs: runs.value, factor, at, scale: scale.value }))
    if (found !== null) moved.value = found
  })
  return moved
}
