import { computed } from 'vue'
import { showNumber, showTarget, showThickness } from './format.ts'
import { useStudy } from './stores/study.ts'

/** The formats of format.ts with the unit of thickness in use. */
export function useFormat() {
  const study = useStudy()
  const unit = computed(() => study.unit)

  return {
    unit,
    number: (value: number | null | undefined, decimals?: number) =>
      showNumber(value, decimals === undefined ? {} : { decimals }),
    /** From nm; without its unit. */
    thickness: (
      valueNm: number | null | undefined,
      options: { uncertaintyNm?: number; decimals?: number } = {},
    ) => showThickness(valueNm, { unit: unit.value, ...options }),
    target: (targetNm: number | null, toleranceNm: number | null) =>
      showTarget(targetNm, toleranceNm, { unit: unit.value }),
    /** From a percentage; with its sign. */
    percent: (value: number | null | undefined, decimals = 2) =>
      value === null || value === undefined ? showNumber(null) : `${showNumber(value, { decimals })} %`,
  }
}
