import { plainNumber, percent as plainPercent } from '../charts/format.ts'
import type { CheckLogResult, GaugeBias, GaugePart, GaugeResult } from '../contract/results/gauge.ts'

/** Shares of the tolerance that a gauge is held against (common practice, no source). */
export const usualShares = { good: 0.1, conditional: 0.3 } as const

/** The parts in words. */
export const partWords: Record<GaugePart['name'], string> = {
  repeatability: 'scan to scan',
  reload: 'loading to loading',
  loading: 'one scan of one loading',
  operators: 'operator to operator',
  waferOperator: 'operators from wafer to wafer',
  wafers: 'wafer to wafer',
  gauge: 'the gauge in all',
}

/** A length with its unit, to the digits that an uncertainty allows where one is given; both in the unit of the readings. */
export type ShowLength = (value: number, uncertainty?: number) => string

/** What a gauge study says, in sentences, the most important first. */
export function studyWords(result: GaugeResult, show: ShowLength): string[] {
  return [...shareWords(result), largestPart(result, show), ...categoryWords(result), ...enoughWords(result)]
}

function shareWords({ share, level }: GaugeResult): string[] {
  if (!share)
    return ['Say which tolerance the gauge has to serve, and it is said how much of it the gauge takes.']
  const [low, high] = share.interval
  const { good, conditional } = usualShares
  const judged =
    high <= good
      ? 'That is little: the gauge serves it well.'
      : low > conditional
        ? 'That is too much: a single reading cannot judge it.'
        : share.share <= good
          ? `That looks little, but it may be over ${whole(good)}: read more loadings to be sure.`
          : share.share <= conditional
            ? `Between ${whole(good)} and ${whole(conditional)} it serves with care: mind readings near the limits.${high > conditional ? ` It may be over ${whole(conditional)}.` : ''}`
            : `That looks too much, but it may be under ${whole(conditional)}: read more loadings to be sure.`
  return [
    `This gauge takes ${whole(share.share)} (${range(low, high)}) of your tolerance, with ${percent(level, 0)} confidence. ${judged}`,
  ]
}

function largestPart({ parts }: GaugeResult, show: ShowLength): string {
  const own = parts.filter(({ name }) => !['wafers', 'gauge'].includes(name))
  const gauge = parts.find(({ name }) => name === 'gauge')
  const [largest] = [...own].sort((a, b) => b.standardDeviation - a.standardDeviation)
  if (!gauge || !largest || gauge.standardDeviation === 0)
    return 'All readings of each wafer are the same: the gauge shows fewer digits than it scatters by, or numbers were copied.'
  const whole =
    `One reading has a standard deviation of ${show(gauge.standardDeviation)} ` +
    `(${show(gauge.interval[0])} to ${show(gauge.interval[1])}).`
  if (own.length < 2) return whole
  const share = (largest.standardDeviation / gauge.standardDeviation) ** 2
  return `${whole} Most of it, ${percent(share, 0)} of the variance, is ${partWords[largest.name]}.`
}

function categoryWords({ categories }: GaugeResult): string[] {
  if (!categories) return []
  const [low, high] = categories.interval
  return [
    `It tells ${categories.number} classes of such wafers apart (between ${Math.max(1, Math.floor(low))} and ${Math.max(1, Math.floor(high))}); five or more are usually asked for.`,
  ]
}

function enoughWords({ enough }: GaugeResult): string[] {
  return enough.map(({ share, least }) => {
    const wanted = `To take no more than ${whole(share)}`
    if (!least) return `${wanted}, no number of loadings and scans within reason is enough.`
    const { reloads, scans } = least
    if (reloads === 1 && scans === 1) return `${wanted}, one reading is enough.`
    const sites = scans === 1 ? '' : `the mean of ${scans} scans or sites`
    if (reloads === 1) return `${wanted}, take ${sites} of one loading.`
    return `${wanted}, load ${reloads} times and take the mean${sites === '' ? '' : `, with ${sites} each time`}.`
  })
}

/** How a second gauge reads against a first, in sentences. */
export function biasWords(
  bias: GaugeBias,
  names: { first: string; second: string },
  show: ShowLength,
): string[] {
  const { difference, interval, slope, pairs } = bias
  const half = (interval[1] - interval[0]) / 2
  const between = `between ${show(interval[0], half)} and ${show(interval[1], half)}`
  const size = `${show(Math.abs(difference), half)} ${difference < 0 ? 'less' : 'more'} than ${names.first}`
  const told = interval[0] > 0 || interval[1] < 0
  return [
    told
      ? `${names.second} reads ${size} on ${pairs.length} wafers (difference ${between}).`
      : `No difference can be told from ${pairs.length} wafers: ${names.second} reads ${size}, but the difference may lie ${between}.`,
    slope === null
      ? 'Whether the difference goes with the thickness cannot be told: it takes four wafers or more of different thickness.'
      : slope.p < 0.05
        ? `The difference goes with the thickness: by ${percent(slope.value, 2)} of it (${percent(slope.interval[0], 2)} to ${percent(slope.interval[1], 2)}). One number does not put it right.`
        : `No change of the difference with thickness can be told (${percent(slope.interval[0], 2)} to ${percent(slope.interval[1], 2)} of it).`,
  ]
}

const alarmWords: Record<CheckLogResult['days'][number]['alarms'][number], string> = {
  'beyond three': 'beyond three standard deviations',
  'two of three': 'two of three days beyond two standard deviations on one side',
  'four of five': 'four of five days beyond one standard deviation on one side',
  'eight on one side': 'eight days in a row on one side',
  scatter: 'the readings of this day scatter more than usual',
  'off nominal': 'farther from the certified value than its uncertainty and the scatter of days explain',
}

/** Degrees of freedom in words; with less than half of one a variance is hardly known, and no digits of it are shown. */
export function degreesWords(df: number): string {
  if (df < 0.5) return 'less than half a degree of freedom'
  const shown = df < 10 ? Number(df.toPrecision(2)) : Math.round(df)
  return `${plainNumber(shown)} ${shown === 1 ? 'degree' : 'degrees'} of freedom`
}

/** Why a day alarms. */
export const alarmSentence = (alarms: CheckLogResult['days'][number]['alarms']): string =>
  alarms.map((alarm) => alarmWords[alarm]).join('; ')

/** What the log of a check standard says, in sentences. */
export function checkWords(result: CheckLogResult, show: ShowLength): string[] {
  const { bias, drift, limits, days } = result
  const uncertainty = bias.standardUncertainty ?? undefined
  const size = `${show(Math.abs(bias.value), uncertainty)} ${bias.value < 0 ? 'less' : 'more'} than certified`
  const told = bias.interval && (bias.interval[0] > 0 || bias.interval[1] < 0)
  const between = bias.interval
    ? ` (between ${show(bias.interval[0], uncertainty)} and ${show(bias.interval[1], uncertainty)})`
    : ''
  const month = 365.25 / 12
  const alarms = days.filter((day) => day.alarms.length > 0)
  return [
    !bias.interval
      ? `It reads ${size}; one day does not tell how sure that is.`
      : told
        ? `It reads ${size}${between}.`
        : `No bias can be told: it reads ${size}${between}.`,
    ...(drift === null
      ? []
      : drift.p < 0.05
        ? [
            `It drifts by ${show(drift.perDay * month, (drift.interval[1] - drift.interval[0]) * 0.5 * month)} a month (${show(drift.interval[0] * month, (drift.interval[1] - drift.interval[0]) * 0.5 * month)} to ${show(drift.interval[1] * month, (drift.interval[1] - drift.interval[0]) * 0.5 * month)}): find out why before the next study.`,
          ]
        : ['No drift can be told.']),
    ...(limits === null
      ? []
      : [
          alarms.length === 0
            ? 'No day alarms.'
            : `${alarms.length === 1 ? 'One day alarms' : `${alarms.length} days alarm`}: ${alarms.map(({ day, alarms: why }) => `${day}, ${alarmSentence(why)}`).join('. ')}.`,
        ]),
  ]
}

/** Percent that a line does not break. */
const percent = (share: number, decimals: number) => plainPercent(share, decimals).replace(' ', '\u00A0')
const whole = (share: number) => percent(share, share < 0.1 ? 1 : 0)
const range = (low: number, high: number) => `${whole(low).replace('\u00A0%', '')}–${whole(high)}`
