import { computed } from 'vue'
import { showNumber, showTarget, showThickness } from './format.ts'
import { useSettings } from './stores/settings.ts'
import { useStudy } from './stores/study.ts'

/** The formats of format.ts with this person's decimal sign and the unit of thickness in use. */
export function useFormat() {
  const settings = useSettings()
  const study = useStudy()
  const unit = computed(() => study.unit)

  return {
    unit,
    number: (value: number | null | undefined, decimals?: number) =>
      showNumber(value, {
        decimal: settings.decimal,
        ...(decimals === undefined ? {} : { decimals }),
      }),
    /** From nm; without its unit. */
    thickness: (
      valueNm: number | null | undefined,
      options: { uncertaintyNm?: number; decimals?: number } = {},
    ) => showThickness(valueNm, { unit: unit.value, decimal: settings.decimal, ...options }),
    target: (targetNm: number | null, toleranceNm: number | null) =>
      showTarget(targetNm, toleranceNm, { unit: unit.value, decimal: settings.decimal }),
    /** From a percentage; with its sign. */
    percent: (value: number | null | undefined, decimals = 2) =>
      value === null || value === undefined
        ? showNumber(null)
        : `${showNumber(value, { decimal: settings.decimal, decimals })} %`,
  }
}
