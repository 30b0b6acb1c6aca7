import { defineStore } from 'pinia'
import { computed, ref, watch } from 'vue'
import type { Setting } from './levels.ts'
import { middleOf, stepped } from './levels.ts'
import { useStudy } from './study.ts'

/** Tells two working points apart by all but the factors of the axes, along which a step asks nothing new of the fit. */
export const heldAt = (at: Record<string, Setting>, axes: readonly string[]): string =>
  JSON.stringify(Object.entries(at).filter(([name]) => !axes.includes(name)))

/**
 * The working point: one setting of every factor of the study in hand, typed or stepped on any screen and
 * marked on all of them. Starts in the middle of the tested region.
 */
export const useWorkingPoint = defineStore('workingPoint', () => {
  const store = useStudy()
  const typed = ref<Record<string, Setting>>({})
  const factors = computed(() => store.study?.factors ?? [])

  watch(
    () => store.study?.id,
    () => {
      typed.value = {}
    },
  )

  const at = computed<Record<string, Setting>>(() =>
    Object.fromEntries(
      factors.value.map((factor) => [factor.name, typed.value[factor.name] ?? middleOf(factor)]),
    ),
  )

  function set(name: string, value: Setting) {
    typed.value = { ...typed.value, [name]: value }
  }
  function setAll(settings: Record<string, Setting>) {
    typed.value = { ...typed.value, ...settings }
  }
  /** Moves one factor by whole steps: what the tool can be set to, else a twentieth of the range. */
  function step(name: string, by: number) {
    const factor = factors.value.find((each) => each.name === name)
    const value = at.value[name]
    if (factor && value !== undefined) set(name, stepped(factor, value, by))
  }

  return { at, factors, set, setAll, step }
})
