import { ref } from 'vue'

/**
 * Of questions asked one after another only the newest counts. `newest` gives its answer, or null where there was
 * nothing to ask or something newer was asked meanwhile; `waiting` is true until the newest is answered.
 */
export function useNewest() {
  const waiting = ref(false)
  let asked = 0

  async function newest<T>(question: Promise<T> | null): Promise<T | null> {
    asked += 1
    const mine = asked
    waiting.value = question !== null
    const answer = await question
    if (mine !== asked) return null
    waiting.value = false
    return answer
  }
  return { waiting, newest }
}
