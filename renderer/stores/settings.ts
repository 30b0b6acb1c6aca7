import { defineStore } from 'pinia'
import { ref, watch } from 'vue'
import type { DecimalSign } from '../../shared/numbers.ts'
import type { ThicknessUnit } from '../../shared/units.ts'

export const themes = ['light', 'dark', 'bay'] as const
export type Theme = (typeof themes)[number]

const key = 'evenfilm.settings'

type Kept = {
  theme: Theme
  unit: ThicknessUnit | null
  decimal: DecimalSign
  hints: boolean
  /** Names of the hints that this person has read. */
  hintsRead: string[]
}

function kept(): Kept {
  const dark = window.matchMedia('(prefers-color-scheme: dark)').matches
  const first: Kept = {
    theme: dark ? 'dark' : 'light',
    unit: null,
    decimal: 'point',
    hints: true,
    hintsRead: [],
  }
  try {
    return { ...first, ...(JSON.parse(localStorage.getItem(key) ?? '{}') as Partial<Kept>) }
  } catch {
    return first
  }
}

/** How this person likes the page: theme, unit of thickness (null: the study's own), decimal sign shown, hints. */
export const useSettings = defineStore('settings', () => {
  const start = kept()
  const theme = ref<Theme>(themes.includes(start.theme) ? start.theme : 'light')
  const unit = ref<ThicknessUnit | null>(start.unit)
  const decimal = ref<DecimalSign>(start.decimal === 'comma' ? 'comma' : 'point')
  const hints = ref(start.hints !== false)
  const hintsRead = ref(Array.isArray(start.hintsRead) ? start.hintsRead : [])
  watch(hints, () => {
    hintsRead.value = []
  })

  watch(
    [theme, unit, decimal, hints, hintsRead],
    () => {
      const now: Kept = {
        theme: theme.value,
        unit: unit.value,
        decimal: decimal.value,
        hints: hints.value,
        hintsRead: hintsRead.value,
      }
      document.documentElement.dataset.theme = theme.value
      localStorage.setItem(key, JSON.stringify(now))
    },
    { immediate: true, deep: true },
  )

  return { theme, unit, decimal, hints, hintsRead }
})
