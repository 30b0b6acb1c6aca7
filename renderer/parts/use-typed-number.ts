import { computed, type Ref, ref, watch } from 'vue'
import type { Answer } from '../../shared/problem.ts'

/**
 * The text of a field beside the number that it stands for. While the text is no number within the rules the number
 * keeps its last good value, and `wrong` says why.
 *
 * @param options.read what a text means; `show` how a number is written
 * @param options.rewrittenBy what the writing of the same number depends on: the text follows where the number is kept
 * @param options.replacedBy what makes the text old, whatever it holds
 */
export function useTypedNumber(options: {
  value: Ref<number | null>
  read: (text: string) => Answer<number | null>
  show: (value: number | null) => string
  rewrittenBy: () => unknown
  replacedBy?: () => unknown
  problem: () => string | null | undefined
}) {
  const { value, read, show } = options
  const text = ref(show(value.value))
  const wrong = ref<string | null>(null)
  const trouble = computed(() => wrong.value ?? options.problem() ?? null)

  function writeAnew() {
    text.value = show(value.value)
    wrong.value = null
  }
  watch([value, options.rewrittenBy], () => {
    const typed = read(text.value)
    if (typed.ok && typed.value === value.value && wrong.value === null) return
    writeAnew()
  })
  if (options.replacedBy) watch(options.replacedBy, writeAnew)

  function typed() {
    const answer = read(text.value)
    wrong.value = answer.ok ? null : (answer.problems[0]?.message ?? null)
    if (answer.ok) value.value = answer.value
  }
  function leave() {
    if (wrong.value === null) text.value = show(value.value)
  }
  return { text, trouble, typed, leave }
}
