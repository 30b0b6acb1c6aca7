import type { Factor, Settings } from '../contract/things.ts'

/**
 * One factor as the search walks along it: the settings that the tool can be given, numbered from 0. A factor
 * without a step of its own gets the power of ten nearest below a thousandth of its range, so that what is
 * recommended can be read aloud.
 */
export type Axis = {
  name: string
  factor: Factor
  /** Number of settings. */
  size: number
  setting(index: number): number | string
  /** Place of a setting between the ends, 0 … 1, on the factor's scale; null for a categorical factor. */
  share(index: number): number | null
  /** The index of the setting nearest to a value. */
  index(value: number): number
  /** The index nearest to a place between the ends, on the factor's scale. */
  nearest(share: number): number
}

/** A place of the search: one index an axis. */
export type Place = number[]

export function axesOf(region: readonly Factor[]): Axis[] {
  return region.map((factor) => (factor.kind === 'categorical' ? levelAxis(factor) : numberAxis(factor)))
}

export function settingsAt(axes: readonly Axis[], place: Place): Settings {
  const settings: Settings = {}
  for (let i = 0; i < axes.length; i++) {
    const axis = axes[i] as Axis
    settings[axis.name] = axis.setting(place[i] ?? 0)
  }
  return settings
}

/** Tells places apart: by a number each where there are not too many for one, else by a text. */
export function placeKey(axes: readonly Axis[]): (place: Place) => number | string {
  const sizes = axes.map(({ size }) => size)
  if (sizes.reduce((product, size) => product * size, 1) > Number.MAX_SAFE_INTEGER)
    return (place) => place.join(' ')
  return (place) => {
    let key = 0
    for (let i = 0; i < sizes.length; i++) key = key * (sizes[i] as number) + (place[i] ?? 0)
    return key
  }
}

/**
 * How far apart two places are: the largest difference on any axis, as a share of its range on its scale;
 * 1 where a categorical factor differs.
 */
export function apart(axes: readonly Axis[], a: Place, b: Place): number {
  let most = 0
  for (let i = 0; i < axes.length; i++) {
    const { share } = axes[i] as Axis
    const [one, other] = [a[i] ?? 0, b[i] ?? 0]
    const [from, to] = [share(one), share(other)]
    most = Math.max(most, from === null || to === null ? Number(one !== other) : Math.abs(from - to))
  }
  return most
}

/** More different tested settings of one factor than this are no grid that somebody chose. */
const mostMarks = 7

/** By axis, the tested settings that it holds, where they are few. */
export function testedMarks(axes: readonly Axis[], tested: readonly Settings[]): number[][] {
  return axes.map((axis) => {
    const { low, high } = axis.factor
    if (low === null || high === null) return []
    const values = new Set(tested.map((settings) => settings[axis.name]))
    const inside = [...values].filter((value) => typeof value === 'number' && value >= low && value <= high)
    return inside.length > mostMarks ? [] : inside.map((value) => axis.index(value as number))
  })
}

function levelAxis(factor: Factor): Axis {
  return {
    name: factor.name,
    factor,
    size: factor.levelNames.length,
    setting: (index) => factor.levelNames[index] as string,
    share: () => null,
    index: () => 0,
    nearest: () => 0,
  }
}

function numberAxis(factor: Factor): Axis {
  const low = factor.low as number
  const high = factor.high as number
  const scaled = (value: number) => (factor.scale === 'log' ? Math.log(value) : value)
  const width = scaled(high) - scaled(low)
  const settings = settingsOf(low, high, factor.step)
  const shareAt = (index: number) => (width === 0 ? 0 : (scaled(settings.at(index)) - scaled(low)) / width)
  const nearestTo = (value: number) => {
    const index = Math.round((value - settings.first) / settings.step) + settings.before
    return Math.min(settings.size - 1, Math.max(0, index))
  }
  return {
    name: factor.name,
    factor,
    size: settings.size,
    setting: remembered(settings.at),
    share: remembered(shareAt),
    index: nearestTo,
    nearest: (share) => {
      const value = scaled(low) + share * width
      return nearestTo(factor.scale === 'log' ? Math.exp(value) : value)
    },
  }
}

/** A search asks for the same few settings again and again. */
function remembered(of: (index: number) => number): (index: number) => number {
  const known: number[] = []
  return (index) => {
    const before = known[index]
    if (before !== undefined) return before
    const value = of(index)
    known[index] = value
    return value
  }
}

/** The settings from low to high: low + whole steps, or both ends and the round numbers between them. */
function settingsOf(low: number, high: number, own: number | null) {
  if (own !== null || low === high) {
    const step = own ?? 1
    const size = Math.floor((high - low) / step + 1e-9) + 1
    return { first: low, step, before: 0, size, at: (index: number) => tidy(low + index * step) }
  }
  const step = 10 ** Math.floor(Math.log10((high - low) / 1000))
  // The first and last round numbers strictly inside; the ends themselves are settings too.
  const first = (Math.floor(low / step + 1e-9) + 1) * step
  const inside = Math.max(0, Math.ceil((high - first) / step - 1e-9))
  const size = inside + 2
  const at = (index: number) =>
    index <= 0 ? low : index >= size - 1 ? high : tidy(first + (index - 1) * step)
  return { first, step, before: 1, size, at }
}

/** 0.1 + 0.2 is 0.3 on a tool's display: twelve digits are kept. */
function tidy(value: number): number {
  return Number(value.toPrecision(12))
}
