import type { ModelComparison } from '../contract/results/fit.ts'
import type { Fitted } from './fitted.ts'
import { pureError } from './lack-of-fit.ts'
import type { LeftOut } from './left-out.ts'
import { groupWord } from './nested-groups.ts'

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
export function cannotTell({ group: columns, ...rest }: Given): string[] {
  const given = { ...rest, group: columns === undefined ? undefined : groupWord(columns) }
  return [
    ...ofAicc(given),
    ...ofPrediction(given),
    ...ofLackOfFit(given),
    ...ofTerms(given),
    'The table ranks only the models that stand in it, by these runs alone: the best of them need not be a good one.',
  ]
}

function ofAicc({ compared, tooWide, group, groups, weighted }: Given): string[] {
  const near = ({ row }: Compared) => row.aiccAbove !== null && row.aiccAbove <= close
  const few = named(compared, ({ row }) => row.aicc === null && tooFew(row))
  const exact = named(compared, ({ row }) => row.aicc === null && !tooFew(row))
  const scales = new Set(compared.map(({ fitted }) => fitted.frame.scale.function))
  return [
    ...(compared.filter(near).length < 2
      ? []
      : [
          `These runs cannot tell ${named(compared, near)} apart: their AICc lie within ${close} of the lowest. ` +
            'The one with fewer terms is enough until more runs say otherwise.',
        ]),
    ...(few === ''
      ? []
      : [`There are too few runs for an AICc of ${few}: it takes at least three more runs than terms.`]),
    ...(exact === ''
      ? []
      : [`There is no AICc of ${exact}: every run is fitted exactly, or a root is taken of a reading of 0.`]),
    ...tooWide.map((model) => `${model} has more terms than there are runs and is not in the table.`),
    ...(group !== undefined && groups > 1
      ? [
          `AICc and lack of fit take the runs as independent, which runs of one ${group} may not be: there the error of prediction says more, and p of lack of fit differs from that of a fit over days, which counts these groups.`,
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
  const why = (leftOut: LeftOut | null) => {
    if (leftOut === null || leftOut.ok) return null
    const rows = listed(leftOut.rows.map(nameOf))
    if (leftOut.term !== null)
      return `without the ${group} of ${rows} the term ${leftOut.term} cannot be estimated`
    return group === undefined
      ? `without ${rows} a term cannot be estimated, or its prediction has no measured value`
      : `the prediction of ${rows} has no measured value`
  }
  const reasons = new Set(compared.flatMap(({ leftOut }) => why(leftOut) ?? []))
  const failed = [...reasons].map(
    (reason) =>
      `There is no error of prediction of ${named(compared, ({ leftOut }) => why(leftOut) === reason)}: ${reason}.`,
  )
  const best = lowest(compared, ({ row }) => row.predictionError)
  const byAicc = lowest(compared, ({ row }) => row.aicc)
  if (!best || !byAicc || best === byAicc || byAicc.row.predictionError === null) return failed
  return [
    ...failed,
    `The lowest AICc is that of ${byAicc.row.model}, the smallest error of prediction that of ${best.row.model}: ` +
      'runs at settings between those tried would decide.',
  ]
}

function ofLackOfFit({ compared }: Given): string[] {
  const noRepeats = ({ row, fitted }: Compared) => row.lackOfFit === null && pureError(fitted).df === 0
  const contradicted = ({ row }: Compared) => (row.lackOfFit?.p ?? 1) < significant
  return [
    ...(compared.some(noRepeats)
      ? [
          `Lack of fit cannot be judged of ${compared.every(noRepeats) ? 'any of the models' : named(compared, noRepeats)}: no settings were repeated.`,
        ]
      : []),
    ...(compared.every(contradicted)
      ? [
          'Repeated runs contradict every model in the table (p of lack of fit below 0.05): a form that is not among them is called for.',
        ]
      : compared.some(contradicted)
        ? [`Repeated runs contradict ${named(compared, contradicted)} (p of lack of fit below 0.05).`]
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

const tooFew = ({ n, terms }: Compared['row']) => n - terms - 2 <= 0

function lowest(compared: Compared[], of: (one: Compared) => number | null): Compared | null {
  const known = compared.filter((one) => of(one) !== null)
  return known.reduce<Compared | null>(
    (best, one) => (best === null || (of(one) as number) < (of(best) as number) ? one : best),
    null,
  )
}

/** Models as one calls them in a sentence: one or two by their formulas, more by their places in the table. */
function named(compared: Compared[], wanted: (one: Compared) => boolean): string {
  const places = compared.flatMap((one, i) => (wanted(one) ? [i] : []))
  return places.length > 2
    ? `models ${list(places.map((i) => String(i + 1)))} of the table`
    : list(places.map((i) => compared[i]?.row.model ?? ''))
}

const list = (items: string[]) =>
  items.length < 2 ? (items[0] ?? '') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`
/** A long list is cut. */
const listed = (items: string[]) =>
  items.length > 6 ? `${items.slice(0, 5).join(', ')} and ${items.length - 5} more` : list(items)
