import type { Finding } from '../contract/results/check.ts'
import type { CheckInput } from './check-program.ts'
import { outside, warning } from './findings.ts'
import { surfaceOf } from './plate-offset.ts'
import { shown } from './shown.ts'
import { programMinutes } from './spin-program.ts'

export function chuckFindings({ chuckMm, diameterMm, sidesMm, coater }: CheckInput): Finding[] {
  if (chuckMm == null) return []
  const place = { code: 'chuck', value: chuckMm, limitConfirmed: coater.limitsConfirmed } as const
  if (sidesMm != null) {
    const short = Math.min(...sidesMm)
    const half = Math.hypot(...sidesMm) / 2
    const size = `${shown(sidesMm[0])} × ${shown(sidesMm[1])} mm`
    if (chuckMm > short)
      return [
        outside({
          ...place,
          limit: short,
          message: `The chuck of ${shown(chuckMm)} mm is wider than the short side of the substrate, ${size}`,
        }),
      ]
    if (chuckMm > half) return []
    return [
      warning({
        ...place,
        limit: half,
        message:
          `The chuck of ${shown(chuckMm)} mm is not wider than half the diagonal of the substrate, ` +
          `${shown(half)} mm of ${size}: its corners stand far out.`,
      }),
    ]
  }
  if (diameterMm == null) return []
  if (chuckMm > diameterMm)
    return [
      outside({
        ...place,
        limit: diameterMm,
        message: `The chuck of ${shown(chuckMm)} mm is wider than the substrate of ${shown(diameterMm)} mm`,
      }),
    ]
  if (chuckMm > diameterMm / 2) return []
  return [
    outside({
      ...place,
      limit: diameterMm / 2,
      message:
        `The chuck of ${shown(chuckMm)} mm is not wider than half of the substrate, ` +
        `${shown(diameterMm / 2)} mm of ${shown(diameterMm)} mm`,
    }),
  ]
}

/** The display against the plate's limit, and the surface against what the resist bears. */
export function bakeFindings({ bake, hotPlate, resist }: CheckInput): Finding[] {
  if (!bake) return []
  const findings: Finding[] = []
  if (hotPlate && bake.temperature > hotPlate.maxTemperature)
    findings.push(
      outside({
        code: 'bake',
        value: bake.temperature,
        limit: hotPlate.maxTemperature,
        limitConfirmed: hotPlate.limitsConfirmed,
        message:
          `The bake at ${shown(bake.temperature)} °C is above the hot plate's limit of ` +
          `${shown(hotPlate.maxTemperature)} °C`,
      }),
    )
  if (!resist) return findings
  const { surfaceOffset = 0, offsets = [] } = hotPlate ?? {}
  const surface = surfaceOf({ surfaceOffset, offsets }, bake.temperature)
  const { bakeLow, bakeHigh } = resist
  const limit =
    bakeLow !== null && surface < bakeLow
      ? bakeLow
      : bakeHigh !== null && surface > bakeHigh
        ? bakeHigh
        : null
  if (limit !== null)
    findings.push(
      outside({
        code: 'resist',
        value: surface,
        limit,
        limitConfirmed: true,
        message:
          `The bake at ${shown(surface)} °C at the surface (display ${shown(bake.temperature)} °C) is ` +
          `${surface < limit ? 'below' : 'above'} the resist's ${shown(limit)} °C`,
      }),
    )
  return findings
}

export function totalFindings({ segments, coater, bake, coatMinutes }: CheckInput): Finding[] {
  if (coatMinutes == null || !bake || segments.length === 0) return []
  const minutes = programMinutes(segments, coater.rampInside) + bake.time / 60
  if (minutes <= coatMinutes) return []
  return [
    warning({
      code: 'total',
      value: minutes,
      limit: coatMinutes,
      limitConfirmed: true,
      message:
        `Spin program and bake take ${shown(minutes)} min, more than the ${shown(coatMinutes)} min that the plan ` +
        'counts to coat, bake and cool one substrate.',
    }),
  ]
}
