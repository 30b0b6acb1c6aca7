import { defineStore } from 'pinia'
import { computed, ref, watch } from 'vue'
import { type DecimalSign, showDecimalsBy } from '../../shared/numbers.ts'
import type { ThicknessUnit } from '../../shared/units.ts'
import { readAllAgain } from '../client.ts'

export const themes = ['light', 'dark', 'bay'] as const
export type Theme = (typeof themes)[number]

/** How decimals are written: as the system does, or by a sign of the person's choice. */
const decimalChoices = ['system', 'point', 'comma'] as const
export type DecimalChoice = (typeof decimalChoices)[number]

/** The decimal sign of the system. */
const systemSign = (): DecimalSign =>
  new Intl.NumberFormat().formatToParts(0.5).some(({ type, value }) => type === 'decimal' && value === ',')
    ? 'comma'
    : 'point'

const key = 'evenfilm.settings'

type Kept = {
  theme: Theme
  unit: ThicknessUnit | null
  decimals: DecimalChoice
  hints: boolean
  /** Names of the hints that this person has read. */
  hintsRead: string[]
}

function kept(): Kept {
  const dark = window.matchMedia('(prefers-color-scheme: dark)').matches
  const first: Kept = {
    theme: dark ? 'dark' : 'light',
    unit: null,
    decimals: 'system',
    hints: true,
    hintsRead: [],
  }
  try {
    return { ...first, ...(JSON.parse(localStorage.getItem(key) ?? '{}') as Partial<Kept>) }
  } catch {
    return first
  }
}

/**
 * How this person likes the page: theme, unit of thickness (null: the study's own), decimal sign, hints. `sign` is the
 * decimal sign that follows; every number that the page shows is written by it.
 */
export const useSettings = defineStore('settings', () => {
  const start = kept()
  const theme = ref<Theme>(themes.includes(start.theme) ? start.theme : 'light')
  const unit = ref<ThicknessUnit | null>(start.unit)
  const decimals = ref<DecimalChoice>(decimalChoices.includes(start.decimals) ? start.decimals : 'system')
  const sign = computed<DecimalSign>(() => (decimals.value === 'system' ? systemSign() : decimals.value))
  showDecimalsBy(() => sign.value)
  // Sentences of the engine have their sign from when they came.
  watch(sign, readAllAgain)
  const hints = ref(start.hints !== false)
  const hintsRead = ref(Array.isArray(start.hintsRead) ? start.hintsRead : [])
  watch(hints, () => {
    hintsRead.value = []
  })

  watch(
    [theme, unit, decimals, hints, hintsRead],
    () => {
      const now: Kept = {
        theme: theme.value,
        unit: unit.value,
        decimals: decimals.value,
        hints: hints.value,
        hintsRead: hintsRead.value,
      }
      document.documentElement.dataset.theme = theme.value
      localStorage.setItem(key, JSON.stringify(now))
    },
    { immediate: true, deep: true },
  )

  return { theme, unit, decimals, sign, hints, hintsRead }
})
