import { defineStore } from 'pinia'
import { ref, watch } from 'vue'
import type { DecimalSign } from '../../shared/numbers.ts'
import type { ThicknessUnit } from '../../shared/units.ts'

export const themes = ['light', 'dark', 'bay'] as const
export type Theme = (typeof themes)[number]

const key = 'evenfilm.settings'

type Kept = { theme: Theme; unit: ThicknessUnit | null; decimal: DecimalSign }

function kept(): Kept {
  const dark = window.matchMedia('(prefers-color-scheme: dark)').matches
  const first: Kept = { theme: dark ? 'dark' : 'light', unit: null, decimal: 'point' }
  try {
    return { ...first, ...(JSON.parse(localStorage.getItem(key) ?? '{}') as Partial<Kept>) }
  } catch {
    return first
  }
}

/** How this person likes the page: theme, unit of thickness (null: the study's own), decimal sign shown. */
export const useSettings = defineStore('settings', () => {
  const start = kept()
  const theme = ref<Theme>(themes.includes(start.theme) ? start.theme : 'light')
  const unit = ref<ThicknessUnit | null>(start.unit)
  const decimal = ref<DecimalSign>(start.decimal === 'comma' ? 'comma' : 'point')

  watch(
    [theme, unit, decimal],
    () => {
      document.documentElement.dataset.theme = theme.value
      localStorage.setItem(
        key,
        JSON.stringify({ theme: theme.value, unit: unit.value, decimal: decimal.value }),
      )
    },
    { immediate: true },
  )

  return { theme, unit, decimal }
})
