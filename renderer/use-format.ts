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
    /** From a percentage; with its sign. To two decimals, to fewer from 10 % on, unless they are given. */
    percent: (value: number | null | undefined, decimals?: number) =>
      value === null || value === undefined
        ? showNumber(null)
        : `${showNumber(value, { decimals: decimals ?? shareDecimals(value) })} %`,
  }
}

/** Decimals of a percentage that nobody knows to more than three digits, 0 to 2. */
const shareDecimals = (value: number) =>
  Math.min(2, Math.max(0, 2 - Math.floor(Math.log10(Math.max(1, Math.abs(value))))))
