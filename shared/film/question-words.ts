import { fixed, plainNumber } from '../charts/format.ts'
import type { Gauge } from '../contract/tools.ts'
import { fromNanometres, type ThicknessUnit, withoutUnit } from '../units.ts'
import type { Explanation, TypedReading } from './doubt-causes.ts'
import type { Question } from './question-readings.ts'

/** What is odd, what may be the cause, and that nothing was done about it. */
export function questionWords(
  question: Question,
  readings: readonly TypedReading[],
  options: { gauge: Pick<Gauge, 'rangeLow' | 'rangeHigh'> | null; edgeExclusionMm: number },
): string {
  const asked = question.readings.map((i) => readings[i] as TypedReading)
  const first = asked[0] as TypedReading
  const which =
    asked.length === 1 ? `‘${withoutUnit(first.text)}’ ${first.unit}` : `These ${asked.length} readings`
  return `${which}: ${oddness(question, asked, options)} It is kept as typed.`.replace(
    'It is kept',
    asked.length === 1 ? 'It is kept' : 'They are kept',
  )
}

function oddness(
  question: Question,
  asked: readonly TypedReading[],
  options: { gauge: Pick<Gauge, 'rangeLow' | 'rangeHigh'> | null; edgeExclusionMm: number },
): string {
  const first = asked[0] as TypedReading
  if (question.comparedWith === 'edge exclusion')
    return `the site lies within the edge exclusion of ${plainNumber(options.edgeExclusionMm)} mm, where the edge bead may stand. The summary leaves it out.`
  if (question.comparedWith === 'gauge')
    return `outside the range of the gauge, ${rangeWords(options.gauge, first.unit)}.`
  const expected = question.expectedNm as number
  const [likeliest, second] = question.causes as [Explanation, Explanation?]
  const against = `${words[question.comparedWith]} (${shown(expected, first.unit)})`
  if (likeliest.cause === 'unitSlip') {
    const { power = 0, meant } = likeliest
    const times = power > 0 ? `${10 ** power} times` : `1/${10 ** -power} of`
    const proposal = meant
      ? `Was it read in ${meant}? ‘${withoutUnit(first.text)}’ ${meant} is ${shown(first.valueNm / 10 ** power, first.unit)}.`
      : 'Look whether a digit or the decimal sign slipped.'
    return `about ${times} ${against}. ${proposal}`
  }
  const value =
    asked.length === 1 ? first.valueNm : asked.reduce((sum, one) => sum + one.valueNm, 0) / asked.length
  const share = Math.abs(value / expected - 1) * 100
  const side = value < expected ? 'below' : 'above'
  const reasons = [likeliest, second].flatMap((one) => (one ? [causeWords(one, value < expected)] : []))
  return `${fixed(share, share < 10 ? 1 : 0)} % ${side} ${against}. ${reasons.join(' Or: ')}`
}

const words = {
  'other sites': 'what the other sites say here',
  fit: 'what the fit expects of this run',
  target: 'what the study is to reach',
} as const

function causeWords({ cause, correction, jumpNm }: Explanation, low: boolean): string {
  switch (cause) {
    case 'digitSwap':
      return `Were two digits exchanged? ‘${correction}’ would fit.`
    case 'fringeOrder':
      return `Was the fringe order mistaken? The jump is ${fixed(Math.abs(jumpNm ?? 0), 0)} nm.`
    case 'edgeBead':
      return 'Does the edge bead reach this site?'
    case 'singleLow':
      return 'A single low site: is there a comet or a hole, or was another place read?'
    case 'singleHigh':
      return 'A single high site: is there a particle, or was another place read?'
    default:
      return `Is it this substrate, with these settings? ${low ? 'Thin' : 'Thick'} at every site read so far.`
  }
}

function rangeWords(gauge: Pick<Gauge, 'rangeLow' | 'rangeHigh'> | null, unit: ThicknessUnit): string {
  const low = gauge?.rangeLow ?? 0
  return gauge?.rangeHigh == null
    ? `from ${shown(low, unit)} on`
    : `${shown(low, unit)} to ${shown(gauge.rangeHigh, unit)}`
}

const shown = (valueNm: number, unit: ThicknessUnit) =>
  `${plainNumber(fromNanometres(valueNm, unit), 5)} ${unit}`
