import type {
  ConfirmationJudgement,
  ConfirmationRecord,
  ConfirmationRun,
} from '../contract/results/confirmation.ts'

type Judged = Omit<ConfirmationJudgement, 'words'>

const list = (runs: readonly ConfirmationRun[]) => runs.map(({ code }) => code).join(', ')
const wafers = (n: number) => `${n} ${n === 1 ? 'wafer' : 'wafers'}`
const whole = (share: number) => `${Math.floor(100 * share)} %`

/** What a confirmation has come to, and what to do next, in plain words. */
export function confirmationWords(record: ConfirmationRecord, judged: Judged, days: number): string[] {
  const { verdict, good, bias } = judged
  const shown =
    good.of === 0
      ? []
      : [
          `${good.count} of ${good.of} good shows only that at least ${whole(good.leastShare)} of all wafers are, with ` +
            `${whole(good.confidence)} confidence, wafers counting as independent.`,
        ]
  const said =
    verdict === 'passed'
      ? passedWords(judged)
      : verdict === 'not yet'
        ? waitingWords(record, judged, days)
        : failedWords(judged)
  return [...said, ...shown, ...(bias?.significant ? [biasWords(bias)] : [])]
}

function passedWords({ runs, good }: Judged): string[] {
  const left = runs.filter(({ state }) => state === 'left out')
  const held =
    good.of === 1
      ? 'The wafer lies in the interval that was written down for it, and is in tolerance.'
      : `All ${wafers(good.of)} lie in the interval that was written down for the whole set, and all are in tolerance.`
  return [
    `${held} Whether that is enough to use the recipe, a person decides.`,
    ...(left.length === 0
      ? []
      : [`${list(left)} ${left.length === 1 ? 'was' : 'were'} left out and show nothing.`]),
  ]
}

function waitingWords({ runsByDay }: ConfirmationRecord, { runs, good }: Judged, days: number): string[] {
  const waiting = runs.filter(({ state }) => state === 'waiting')
  if (waiting.length > 0)
    return [
      `${good.of} of ${runs.length} wafers are measured${good.of === 0 ? '' : ', so far all as predicted'}. ` +
        `Coat and read ${list(waiting)}, on ${runsByDay.length} days in all.`,
    ]
  return [
    `The wafers were made in ${days} ${days === 1 ? 'session' : 'sessions'} instead of ${runsByDay.length}: how days ` +
      'differ is not shown. Name the sessions of the runs, or coat on another day.',
  ]
}

function failedWords({ runs }: Judged): string[] {
  const outside = runs.filter(({ inside }) => inside === false)
  const off = runs.filter(({ inTolerance }) => inTolerance === false)
  const uneven = runs.filter(({ even }) => even === false)
  const are = (some: readonly ConfirmationRun[]) => (some.length === 1 ? 'is' : 'are')
  return [
    ...(outside.length === 0
      ? []
      : [
          `${list(outside)} ${are(outside)} outside the interval for the whole set: the fit does not say how this recipe ` +
            'comes out. Look for what was otherwise that day; the new readings are in the fit now, so look at Curves and plan another confirmation.',
        ]),
    ...(off.length === 0 ? [] : [`${list(off)} ${are(off)} out of tolerance in thickness.`]),
    ...(uneven.length === 0 ? [] : [`${list(uneven)} ${are(uneven)} above the limit of evenness.`]),
    ...(outside.length === 0
      ? [
          'As predicted, but not good enough: move the recipe, narrow what scatters, or ask for a wider tolerance.',
        ]
      : []),
  ]
}

function biasWords({ share, speed }: NonNullable<Judged['bias']>): string {
  const off = `The set as a whole is ${Math.abs(100 * share).toFixed(2)} % ${share > 0 ? 'thicker' : 'thinner'} than predicted, more than chance makes likely.`
  if (speed === null) return off
  return `${off} A ${speed.factor} of ${Math.round(speed.at)} rpm (${Math.round(speed.lower)} to ${Math.round(speed.upper)}) would bring it to the target${speed.set === null ? '' : `; as the coater can be set, ${speed.set} rpm`}.`
}
