import type { Reading } from '../../../shared/contract/things.ts'
import { slipBy, typedReading } from '../../../shared/film/doubt-causes.ts'
import { expectationOf, type Question, questionReadings } from '../../../shared/film/question-readings.ts'
import { questionWords } from '../../../shared/film/question-words.ts'
import { ofStage } from '../../../shared/film/reading-stage.ts'
import type { TypedReading as Entry, RunCard } from './bench-store.ts'
import { type Spot, spotKey } from './spot.ts'

/** A question as the page shows it: the words, what may be entered instead, and a reason for leaving it out. */
export type Asked = { words: string; corrections: Entry[]; reason: string }

/**
 * What is odd about the readings in force at the stage that is being read: by spot, and what concerns several of them or
 * one that has no site. A spot that is being typed over is not asked about.
 */
export function askedQuestions(
  card: Pick<RunCard, 'study' | 'readings' | 'expectedNm' | 'expectedIntervalNm'>,
  isTyped: (spot: Spot) => boolean = () => false,
): { bySpot: Map<string, Asked>; ofRun: Asked[] } {
  const { study, expectedNm, expectedIntervalNm } = card
  // What is expected is a film at the stage of the target.
  const atTarget = study.readAfter === study.targetAfter
  const fit = expectedNm === null ? null : { nm: expectedNm, interval: expectedIntervalNm }
  const expectation = atTarget ? expectationOf(study, fit) : null
  const film = card.readings.filter(
    ({ quantity, excluded, value }) => quantity === 'thickness' && excluded === null && value > 0,
  )
  const spots = ofStage(film, study, study.readAfter).counting
  const readings = spots.map(typedReading)
  const bySpot = new Map<string, Asked>()
  const ofRun: Asked[] = []
  for (const question of questionReadings({ ...study, readings, expectation })) {
    const asked = question.readings.map((i) => spots[i] as Reading)
    if (asked.some(isTyped)) continue
    const shown: Asked = {
      words: questionWords(question, readings, study),
      corrections: asked.flatMap((reading) => correctionOf(question, reading)),
      reason: reasons[question.causes[0]?.cause ?? 'level'],
    }
    const [only] = asked
    if (!only || asked.length > 1 || only.site === null) ofRun.push(shown)
    else bySpot.set(spotKey(only), shown)
  }
  return { bySpot, ofRun }
}

/** Only a mistake of typing has a right text: a jump of the gauge or a comet is read again or left out. */
function correctionOf({ causes }: Question, reading: Reading): Entry[] {
  const [likeliest] = causes
  const { site, repeat } = reading
  if (site === null || !likeliest) return []
  const text =
    likeliest.cause === 'unitSlip' && likeliest.power !== undefined
      ? slipBy(typedReading(reading), likeliest.power).correction
      : likeliest.correction
  return text === undefined ? [] : [{ site, repeat, text }]
}

const reasons: Record<Question['causes'][number]['cause'], string> = {
  unitSlip: 'mistyped, true value lost',
  digitSwap: 'mistyped, true value lost',
  fringeOrder: 'wrong fringe order',
  edgeBead: 'in the edge bead',
  singleLow: 'particle or comet at the site',
  singleHigh: 'particle or comet at the site',
  gaugeRange: 'outside the range of the gauge',
  level: '',
}
