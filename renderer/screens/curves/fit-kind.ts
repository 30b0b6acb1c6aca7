import type { Args } from '../../../shared/contract.ts'

type OfKind = Omit<Args<'fits.fit'>, 'studyId' | 'response' | 'model' | 'level'>

/** Kinds of fit that have a name, in the order in which they are offered; any other names groups of runs. */
export const namedKinds = ['overDays', 'ordinary', 'huber', 'bisquare'] as const
export type NamedKind = (typeof namedKinds)[number]

const isNamed = (kind: string): kind is NamedKind => namedKinds.some((name) => name === kind)

/** The kind by which the next run is chosen, and the first shown. */
export const usualKind: NamedKind = 'overDays'

/** Whether a kind of fit names groups whose variance is estimated. */
export const hasGroups = (kind: string): boolean => !isNamed(kind)

/** What is known from elsewhere of the standard deviation between groups, on the model's scale. */
export type KnownVariance = { standardDeviation: number; df: number | null; from: 'earlier' | 'stated' }

const asNamed: Record<NamedKind, OfKind> = {
  overDays: { overDays: true },
  ordinary: {},
  huber: { robust: 'huber' },
  bisquare: { robust: 'bisquare' },
}

/** A kind of fit as the calls name it. */
export function ofKind(kind: string, known: Record<string, KnownVariance>): OfKind {
  if (isNamed(kind)) return asNamed[kind]
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
