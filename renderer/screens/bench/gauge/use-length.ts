import type { ShowLength } from '../../../../shared/gauge/gauge-words.ts'
import { useFormat } from '../../../use-format.ts'

/** A length from nm in the unit in use: to the digits of its uncertainty, or two of its own. */
export function useLength() {
  const { thickness, unit } = useFormat()
  const length: ShowLength = (value, uncertainty) =>
    `${thickness(value, { uncertaintyNm: uncertainty ?? Math.abs(value) })} ${unit.value}`
  return { length }
}
