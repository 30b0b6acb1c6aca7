import type { ModelComparison } from '../contract/results.ts'
import type { Fitted } from './fitted.ts'
import type { LeftOut } from './left-out.ts'

/** One model of a comparison, with what its row was made from. */
export type Compared = {
  fitted: Fitted
  /** Null where there is only one group to leave out. */
  leftOut: LeftOut | null
  notEstimable: string[]
  row: ModelComparison['models'][number]
}

/** What the sentences are made from. */
type Given = {
  compared: Compared[]
  tooWide: string[]
  group: string | undefined
  groups: number
  weighted: boolean
  nameOf: (row: number) => string
}

/**
 * Models this close in AICc both have support in the data (Burnham & Anderson, Model Selection and Multimodel Inference,
 * 2002, section 2.6; from memory).
 */
const close = 2
/** Below this p repeated runs contradict a model. */
const significant = 0.05

/** What the runs cannot tell between the models, in sentences. */
export function cannotTell(given: Given): string[] {
  return [
    ...ofAicc(given),
    ...ofPrediction(given),
    ...ofLackOfFit(given),
    ...ofTerms(given),
    'The table ranks only the models that stand in it, by these runs alone: the best of them need not be a good one.',
  ]
}

function ofAicc({ compared, tooWide, group, groups, weighted }: Given): string[] {
  const near = names(compared, ({ row }) => row.aiccAbove !== null && row.aiccAbove <= close)
  const none = names(compared, ({ row }) => row.aicc === null && tooFew(row))
  const exact = names(compared, ({ row }) => row.aicc === null && !tooFew(row))
  const scales = new Set(compared.map(({ fitted }) => fitted.frame.scale.function))
  return [
    ...(near.length > 1
      ? [
          `These runs cannot tell ${list(near)} apart: their AICc lie within ${close} of the lowest. ` +
            'The one with fewer terms is enough until more runs say otherwise.',
        ]
      : []),
    ...(none.length > 0
      ? [`There are too few runs for an AICc of ${list(none)}: it takes at least three more runs than terms.`]
      : []),
    ...(exact.length > 0
      ? [
          `${list(exact)} ${has(exact)} no AICc: ${exact.length > 1 ? 'they go' : 'it goes'} through every run, or a reading of 0 stands under its root.`,
        ]
      : []),
    ...(tooWide.length > 0
      ? [
          `${list(tooWide)} ${has(tooWide)} more terms than there are runs, and ${stands(tooWide)} not in the table.`,
        ]
      : []),
    ...(group !== undefined && groups > 1
      ? [
          `AICc takes the runs as independent, which runs of one ${group} may not be: there the error of prediction says more.`,
        ]
      : []),
    ...(weighted && scales.size > 1
      ? [
          'The weights are 1/variance on the scale of each model: for different transformations the same weights say different things.',
        ]
      : []),
  ]
}

function ofPrediction({ compared, group, groups, nameOf }: Given): string[] {
  if (group !== undefined && groups < 2)
    return [`All runs are of one ${group}: nothing here says how well a model predicts another ${group}.`]
  const failed = compared.flatMap(({ row, leftOut }) => {
    if (leftOut === null || leftOut.ok) return []
    const rows = listed(leftOut.rows.map(nameOf))
    const why =
      leftOut.term === null
        ? group === undefined
          ? `without ${rows} a term cannot be estimated, or its prediction has no measured value`
          : `the prediction of ${rows} has no measured value`
        : `without the ${group} of ${rows} the term ${leftOut.term} cannot be estimated`
    return [`${row.model} has no error of prediction: ${why}.`]
  })
  const best = lowest(compared, ({ row }) => row.predictionError)
  const byAicc = lowest(compared, ({ row }) => row.aicc)
  if (!best || !byAicc || best === byAicc || compared.length < 2) return failed
  return [
    ...failed,
    `The lowest AICc is that of ${byAicc.row.model}, the smallest error of prediction that of ${best.row.model}: ` +
      'runs at settings between those tried would decide.',
  ]
}

function ofLackOfFit({ compared }: Given): string[] {
  const without = names(compared, ({ row, fitted }) => row.lackOfFit === null && repeats(fitted) === 0)
  const contradicted = names(compared, ({ row }) => (row.lackOfFit?.p ?? 1) < significant)
  return [
    ...(without.length > 0
      ? [
          `Lack of fit cannot be judged for ${without.length === compared.length ? 'any of the models' : list(without)}: no settings were repeated.`,
        ]
      : []),
    ...(contradicted.length === compared.length
      ? [
          'Repeated runs contradict every model in the table (p of lack of fit below 0.05): a form that is not among them is called for.',
        ]
      : contradicted.length > 0
        ? [`Repeated runs contradict ${list(contradicted)} (p of lack of fit below 0.05).`]
        : []),
  ]
}

function ofTerms({ compared }: Given): string[] {
  return compared.flatMap(({ row, notEstimable }) =>
    notEstimable.length > 0
      ? [`Of ${row.model} these runs cannot estimate ${list(notEstimable)}, so it stands there without.`]
      : [],
  )
}

function repeats({ frame }: Fitted): number {
  const settings = frame.rows.map((row) => JSON.stringify(frame.columns.map(({ values }) => values[row])))
  return settings.length - new Set(settings).size
}

const tooFew = ({ n, terms }: Compared['row']) => n - terms - 2 <= 0

function lowest(compared: Compared[], of: (one: Compared) => number | null): Compared | null {
  const known = compared.filter((one) => of(one) !== null)
  return known.reduce<Compared | null>(
    (best, one) => (best === null || (of(one) as number) < (of(best) as number) ? one : best),
    null,
  )
}

const names = (compared: Compared[], wanted: (one: Compared) => boolean) =>
  compared.filter(wanted).map(({ row }) => row.model)
const list = (items: string[]) =>
  items.length < 2 ? (items[0] ?? '') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`
/** A long list is cut. */
const listed = (items: string[]) =>
  items.length > 6 ? `${items.slice(0, 5).join(', ')} and ${items.length - 5} more` : list(items)
const has = (items: string[]) => (items.length > 1 ? 'have' : 'has')
const stands = (items: string[]) => (items.length > 1 ? 'stand' : 'stands')
