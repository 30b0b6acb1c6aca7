/** One thing measured: in the same run as what it is held against. */
export type Figure = {
  /** Which of the aims it belongs to, and at which size. */
  name: string
  size?: number
  value: number
  unit: 's' | 'MB' | 'B'
  /** What it is held against, in the same unit; null where there is nothing of its kind. */
  baseline: { name: string; value: number } | null
  /** Most that the ratio should be. */
  aim?: number
  /** Most that the value itself should be. */
  bound?: number
}

/** How often the value is what it is held against. */
export const ratioOf = ({ value, baseline }: Figure): number | null =>
  baseline === null ? null : value / baseline.value

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length >> 1
  return sorted.length % 2 === 1
    ? (sorted[middle] as number)
    : ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2
}

/** Half of the values are no more than `median`, 95 in 100 no more than `p95`, all no more than `most`. */
export function spreadOf(values: readonly number[]): { median: number; p95: number; most: number } {
  const sorted = [...values].sort((a, b) => a - b)
  const at = (share: number) =>
    Number((sorted[Math.ceil(share * sorted.length) - 1] ?? Number.NaN).toFixed(2))
  return { median: at(0.5), p95: at(0.95), most: at(1) }
}

/** Seconds that some work took. */
export async function seconds(work: () => unknown): Promise<number> {
  const start = performance.now()
  await work()
  return (performance.now() - start) / 1000
}

/** The median of several times, s. */
export async function medianOf(times: number, work: (i: number) => unknown): Promise<number> {
  const all: number[] = []
  for (let i = 0; i < times; i++) all.push(await seconds(() => work(i)))
  return median(all)
}

/** As many digits as a time on a machine with other work is worth. */
export const rounded = (value: number) => Number(value.toPrecision(3))
const digits = (value: number) => rounded(value).toString()

function shown(value: number, unit: Figure['unit']): string {
  return unit === 's' && value < 1 ? `${digits(1000 * value)} ms` : `${digits(value)} ${unit}`
}

/** Figures as lines: what was measured, what it is held against, the ratio, and the aim where there is one. */
export function linesOf(figures: readonly Figure[]): string[] {
  const rows = figures.map((figure) => {
    const { name, size, value, unit, baseline, aim, bound } = figure
    const ratio = ratioOf(figure)
    const aimed = [
      ...(aim === undefined ? [] : [`${aim} ×`]),
      ...(bound === undefined ? [] : [shown(bound, unit)]),
    ].join(', ')
    const within = (found: number | null, most = Number.POSITIVE_INFINITY) => found === null || found <= most
    const met = within(ratio, aim) && within(value, bound) ? '' : 'not met'
    const beside = baseline === null ? '' : `${baseline.name}: ${shown(baseline.value, unit)}`
    const named = size === undefined ? name : `${name}, ${size.toLocaleString('en')}`
    return [named, shown(value, unit), ratio === null ? '' : `${digits(ratio)} ×`, aimed, met, beside]
  })
  const all = [['what', 'takes', 'ratio', 'aim', '', 'held against'], ...rows]
  const widths = all[0]!.map((_, column) => Math.max(...all.map((row) => row[column]!.length)))
  return all.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column]!))
      .join('  ')
      .trimEnd(),
  )
}
