import type { Scatter, ScatterComponent, ScatterLevel } from '../contract/results/scatter.ts'
import { degreesWords } from '../gauge/gauge-words.ts'

/** A level as one says it: between these the film differs. */
export const scatterLevelWords: Record<ScatterLevel, { many: string; one: string }> = {
  session: { many: 'sessions', one: 'session' },
  plateVisit: { many: 'plate visits', one: 'plate visit' },
  wafer: { many: 'wafers', one: 'wafer' },
  site: { many: 'sites', one: 'site' },
  repeat: { many: 'repeats at a site', one: 'repeat a site' },
}

/** One more of something helps where it narrows the mean by this share; less would not be noticed. */
const noticed = 0.03
/** A variance on fewer degrees of freedom than this is hardly known. */
const fewDf = 3

/**
 * What follows for the next readings: where most of the uncertainty of a mean comes from, and which of one more session,
 * wafer, site or repeat would hardly help, by how much the best of them would; where none would, that alone.
 */
export function scatterSentence(
  components: readonly ScatterComponent[],
  now: number,
  more: Scatter['more'],
): string {
  if (!(now > 0)) return 'No scatter is seen.'
  const most = components.reduce((best, one) => (one.shareOfMean > best.shareOfMean ? one : best))
  const gain = ({ standardUncertainty }: Scatter['more'][number]) => 1 - standardUncertainty / now
  const useless = more.filter((one) => gain(one) < noticed).map(({ level }) => level)
  const best = more.reduce((a, b) => (gain(b) > gain(a) ? b : a))
  const share = Math.round(100 * most.shareOfMean)
  const first =
    most.shareOfMean > 0.5
      ? `Most of the scatter of a mean is between ${scatterLevelWords[most.level].many} (${share} %)`
      : `No one source stands out: the largest, between ${scatterLevelWords[most.level].many}, makes ${share} % of the scatter of a mean`
  if (gain(best) < noticed)
    return `${first}. One more of anything would hardly narrow it: the best, one more ${scatterLevelWords[best.level].one}, by ${(100 * gain(best)).toFixed(0)} %.${doubt(most)}`
  const helps = `One more ${scatterLevelWords[best.level].one} would narrow it by ${(100 * gain(best)).toFixed(0)} %`
  // The largest source itself can be averaged over so many already that one more is nothing.
  const joined = useless.includes(most.level) ? ', yet' : ':'
  const names = useless.map((level) => scatterLevelWords[level].one)
  const unhelpful = names.length > 0 ? `${joined} one more ${names.join(' or ')} would hardly narrow it` : ''
  return `${first}${unhelpful}. ${helps}.${doubt(most)}`
}

const doubt = ({ df }: ScatterComponent) =>
  df !== null && df < fewDf ? ` That rests on ${degreesWords(df)}, and is hardly known.` : ''
