import type { Args } from '../../../shared/contract.ts'

type OfKind = Pick<Args<'fits.fit'>, 'overDays' | 'robust' | 'random' | 'earlier' | 'stated'>

/** Whether a kind of fit is a robust one, by its name. */
const isRobust = (kind: string): kind is 'huber' | 'bisquare' => kind === 'huber' || kind === 'bisquare'

/** The kind by which the next run is chosen, and the first shown. */
export const usualKind = 'overDays'

/** Whether a kind of fit names groups whose variance is estimated. */
export const hasGroups = (kind: string): boolean =>
  kind !== usualKind && kind !== 'ordinary' && !isRobust(kind)

/** What is known from elsewhere of the standard deviation between groups, on the model's scale. */
export type KnownVariance = { standardDeviation: number; df: number | null; from: 'earlier' | 'stated' }

/** A kind of fit as the calls name it. */
export function ofKind(kind: string, known: Record<string, KnownVariance>): OfKind {
  if (isRobust(kind)) return { robust: kind }
  if (kind === 'ordinary') return {}
  if (kind === 'overDays') return { overDays: true }
  const from = (source: KnownVariance['from']) => {
    const own = Object.entries(known).filter(([, each]) => each.from === source)
    const deviations = own.map(([group, { standardDeviation, df }]) => [
      group,
      { standardDeviation, ...(df === null ? {} : { df }) },
    ])
    return own.length === 0 ? {} : { [source]: Object.fromEntries(deviations) }
  }
  return { random: kind, ...from('earlier'), ...from('stated') }
}
