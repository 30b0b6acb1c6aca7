import { onScopeDispose, shallowRef, watch } from 'vue'
import type { KeptRecipe } from '../../../shared/contract/recipes.ts'
import { callEngine, onChanged } from '../../client.ts'
import { useRoute } from '../../stores/route.ts'

/** The kept recipes of the study in hand, each name's newest version first; null while they are read. */
export function useRecipes() {
  const route = useRoute()
  const recipes = shallowRef<KeptRecipe[] | null>(null)

  async function load() {
    const { studyId } = route
    if (studyId === null) return
    const answer = await callEngine('recipes.list', { studyId })
    if (route.studyId === studyId) recipes.value = answer.ok ? answer.value : []
  }
  watch(() => route.studyId, load, { immediate: true })
  onScopeDispose(onChanged(() => void load()))

  return { recipes }
}
