import type { Factor, Settings } from '../contract/things.ts'

/** Coded settings of a run: −1 at a factor's low end, +1 at its high end; the level itself where categorical. */
export type CodedSettings = Record<string, number | string>

/**
 * The coded value of a setting: −1 at `low`, +1 at `high`, evenly between, or evenly in the logarithm
 * where the factor's scale is `log`. Values outside the range give coded values outside −1…+1.
 */
export function toCoded(factor: Factor, value: number): number {
  const { low, high } = rangeOf(factor)
  if (value === low) return -1
  if (value === high) return 1
  return factor.scale === 'log'
    ? (2 * Math.log(value / low)) / Math.log(high / low) - 1
    : (2 * (value - low)) / (high - low) - 1
}

/** The setting of a coded value, not rounded to the factor's step. The inverse of {@link toCoded}. */
export function fromCoded(factor: Factor, coded: number): number {
  const { low, high } = rangeOf(factor)
  if (coded === -1) return low
  if (coded === 1) return high
  const share = (coded + 1) / 2
  return factor.scale === 'log'
    ? withoutNoise(low * (high / low) ** share)
    : withoutNoise(low + share * (high - low))
}

/**
 * The nearest value that the tool can be set to: low plus a whole number of steps, never beyond low…high.
 * Without a step the value is only kept within low…high.
 */
export function roundToStep(factor: Factor, value: number): number {
  const { low, high } = rangeOf(factor)
  const inside = Math.min(high, Math.max(low, value))
  if (factor.step === null) return inside
  const steps = Math.min(Math.round((inside - low) / factor.step), stepsWithin(factor))
  return withoutNoise(low + steps * factor.step)
}

/** How many whole steps fit between low and high; the factor must have a step. */
export function stepsWithin(factor: Factor): number {
  const { low, high } = rangeOf(factor)
  return Math.floor((high - low) / (factor.step as number) + 1e-9)
}

/** The setting of a coded value as the tool can really be set, and the coded value of that setting. */
export function settle(
  factor: Factor,
  coded: number | string,
): { setting: number | string; coded: number | string } {
  if (typeof coded === 'string') return { setting: coded, coded }
  const setting = roundToStep(factor, fromCoded(factor, coded))
  // Without a step nothing was rounded: the coded value asked for stays exact.
  return { setting, coded: factor.step === null ? coded : keepInside(toCoded(factor, setting)) }
}

/** The coded settings of a run. */
export function codeSettings(factors: readonly Factor[], settings: Settings): CodedSettings {
  return Object.fromEntries(
    factors.map((factor) => {
      const setting = settings[factor.name] as number | string
      return [factor.name, typeof setting === 'string' ? setting : toCoded(factor, setting)]
    }),
  )
}

/** The coded levels of a continuous factor's grid, evenly from −1 to +1, before rounding to its step. */
export function gridOf(factor: Factor): (number | string)[] {
  if (factor.kind === 'categorical') return [...factor.levelNames]
  return Array.from({ length: factor.levels }, (_, i) => (2 * i) / (factor.levels - 1) - 1)
}

/** The range of a continuous factor, which the check of the factors has seen to. */
export function rangeOf(factor: Factor): { low: number; high: number } {
  if (factor.low === null || factor.high === null) throw new Error(`factor ${factor.name} has no range`)
  return { low: factor.low, high: factor.high }
}

/** 0.1 + 0.2 is 0.3 on a tool's display: twelve digits are kept. */
function withoutNoise(value: number): number {
  return Number(value.toPrecision(12))
}

function keepInside(coded: number): number {
  return Math.min(1, Math.max(-1, coded))
}
