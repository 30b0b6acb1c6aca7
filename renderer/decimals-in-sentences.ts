import { inDecimalSign } from '../shared/numbers.ts'

/** Names under which answers of the engine hold sentences that the program has composed; all text below them is such. */
const composed = new Set([
  ...['message', 'sentence', 'words', 'reasons', 'clear', 'notJudged', 'because', 'cannotTell', 'stopReason'],
  ...['problem', 'label', 'stale', 'known', 'extrapolates', 'assumptions', 'designInWords', 'orderInWords'],
])
/** Ways to fit a plan, which also say what they are. */
const composedBesideMinutes = new Set(['what', 'cost'])

/**
 * A number that stands alone in a sentence. What a person typed stands in quotes there, and versions, names and formulas
 * with a point in them have letters or more points beside it: these are left alone.
 */
const numberInSentence = /(?<=^|[\s(±=<>≤≥+−–/×])\d+\.\d+(?=$|[\s%)!?,;:…°–·’]|-fold|\.(?:\s|$))/gu

/** A sentence with the decimal sign in use. */
export const sentenceInDecimalSign = (sentence: string): string =>
  sentence.replace(numberInSentence, inDecimalSign)

/**
 * An answer of the engine with the decimal sign of the page in its sentences. The engine writes points, as it does into
 * files and onto the command line; what a person typed, and all other text, comes through as it is.
 *
 * @param answer plain data
 */
export function answerInDecimalSign<T>(answer: T, call: string): T {
  if (inDecimalSign('.') === '.') return answer
  const isComposed = (name: string, beside: object) =>
    composed.has(name) ||
    // Elsewhere a reason is what a person typed.
    (name === 'reason' && (call.startsWith('next.') || 'scope' in beside)) ||
    (composedBesideMinutes.has(name) && 'saves' in beside)
  const rewrite = (value: unknown, sentence: boolean): unknown => {
    if (typeof value === 'string') return sentence ? sentenceInDecimalSign(value) : value
    if (Array.isArray(value)) return value.map((each) => rewrite(each, sentence))
    if (typeof value !== 'object' || value === null) return value
    return Object.fromEntries(
      Object.entries(value).map(([name, inner]) => [
        name,
        rewrite(inner, sentence || isComposed(name, value)),
      ]),
    )
  }
  return rewrite(answer, false) as T
}
