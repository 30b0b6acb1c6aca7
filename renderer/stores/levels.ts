import type { Factor, Settings } from '../../shared/contract/things.ts'

export type Setting = Settings[string]

/** The middle of a factor's region on its scale, rounded to what the tool can be set to. */
export function middleOf(factor: Factor): Setting {
  if (factor.kind === 'categorical') return factor.levelNames[0] ?? ''
  const low = factor.low ?? 0
  const high = factor.high ?? low
  const middle = factor.scale === 'log' && low > 0 ? Math.sqrt(low * high) : (low + high) / 2
  return factor.step === null ? middle : low + Math.round((middle - low) / factor.step) * factor.step
}

/** A setting moved by `by` steps: the tool's step, or a twentieth of the range; the next level of a list. */
export function stepped(factor: Factor, value: Setting, by: number): Setting {
  if (factor.kind === 'categorical') {
    const at = factor.levelNames.indexOf(String(value))
    const to = Math.min(factor.levelNames.length - 1, Math.max(0, at + Math.sign(by)))
    return factor.levelNames[to] ?? value
  }
  const range = (factor.high ?? 0) - (factor.low ?? 0)
  const step = factor.step ?? (range > 0 ? range / 20 : 1)
  return Number((Number(value) + by * step).toPrecision(12))
}
