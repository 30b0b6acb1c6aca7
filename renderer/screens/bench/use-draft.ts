import { computed, type Ref, ref, watch } from 'vue'

/**
 * A copy of what is kept, to be typed over, and whether it differs. It is taken anew when what is kept changes or belongs
 * to another owner, not when the same is merely read again: what is being typed stays.
 */
export function useDraft<T>(kept: () => T, owner: () => string = () => '') {
  const text = () => JSON.stringify(kept())
  const draft = ref() as Ref<T>
  watch(
    [text, owner],
    ([now]) => {
      draft.value = JSON.parse(now) as T
    },
    { immediate: true },
  )
  return { draft, differs: computed(() => JSON.stringify(draft.value) !== text()) }
}
