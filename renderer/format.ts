import { decimalsFor } from '../shared/charts/format.ts'
import type { Bottle } from '../shared/contract/materials.ts'
import { inDecimalSign } from '../shared/numbers.ts'
import { fromNanometres, type ThicknessUnit } from '../shared/units.ts'
import { words } from './words.ts'

export { count, shownSettings } from '../shared/words.ts'

/** What stands where a number is not known. */
export const unknown = '–'

/**
 * A number as the page shows it: a fixed count of decimals, a true minus sign, no thousands signs, so that
 * what is shown can be typed back.
 */
export function showNumber(value: number | null | undefined, options: { decimals?: number } = {}): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return unknown
  const text = options.decimals === undefined ? plain(value) : value.toFixed(options.decimals)
  const signed = /^-[0.]*$/.test(text) ? text.slice(1) : text.replace('-', '\u2212')
  return inDecimalSign(signed)
}

/** The shortest text of a number without rounding noise such as 0.30000000000000004. */
function plain(value: number): string {
  const tidy = Number(value.toPrecision(12))
  return Math.abs(tidy) >= 1e-6 || tidy === 0 ? String(tidy) : tidy.toExponential()
}

/** Decimals for a bare reading: 0.1 nm, 1 Å, 0.0001 µm. */
export const thicknessDecimals: Record<ThicknessUnit, number> = { nm: 1, Å: 0, µm: 4 }

/** Thickness without its unit, from nm. With `uncertaintyNm` the digits follow from it. */
export function showThickness(
  valueNm: number | null | undefined,
  options: { unit: ThicknessUnit; uncertaintyNm?: number; decimals?: number },
): string {
  if (valueNm === null || valueNm === undefined) return unknown
  const { unit, uncertaintyNm } = options
  const decimals =
    options.decimals ??
    (uncertaintyNm === undefined ? thicknessDecimals[unit] : decimalsFor(fromNanometres(uncertaintyNm, unit)))
  return showNumber(fromNanometres(valueNm, unit), { decimals })
}

/** Target and tolerance as people write them, such as 1500 ± 30 nm; trailing zeros are left out. */
export function showTarget(
  targetNm: number | null,
  toleranceNm: number | null,
  options: { unit: ThicknessUnit },
): string {
  if (targetNm === null) return unknown
  const show = (nm: number) => showNumber(fromNanometres(nm, options.unit))
  const tolerance = toleranceNm === null ? '' : ` ± ${show(toleranceNm)}`
  return `${show(targetNm)}${tolerance} ${options.unit}`
}

/** Minutes as hours and minutes: 3 h 05 min. */
export function showMinutes(minutes: number): string {
  const whole = Math.round(minutes)
  if (whole < 60) return `${whole} min`
  return `${Math.floor(whole / 60)} h ${String(whole % 60).padStart(2, '0')} min`
}

/** A moment as day and time of this machine, as its system writes them. Today is shown by its time alone. */
export function showMoment(iso: string, now: Date = new Date(), locale?: string): string {
  const at = new Date(iso)
  if (Number.isNaN(at.getTime())) return unknown
  const time = at.toLocaleTimeString(locale, { hour: '2-digit', minute: '2-digit' })
  if (at.toDateString() === now.toDateString()) return time
  const day = at.toLocaleDateString(locale, { day: 'numeric', month: 'short', year: 'numeric' })
  return `${day}, ${time}`
}

/** What has become of a bottle, in a line. */
export function bottleWords({ openings, restMl, expires, outAt, empty }: Bottle): string {
  const left = restMl === null ? '' : words.bottle.left(showNumber(restMl, { decimals: restMl < 10 ? 1 : 0 }))
  return [
    words.bottle.opened(openings),
    empty ? words.bottle.empty : left,
    expires && words.bottle.goodUntil(expires),
    outAt && words.bottle.outOfFridge(showMoment(outAt)),
  ]
    .filter(Boolean)
    .join('; ')
}
