import { slipBy, type TypedReading, typedReading } from '../../../shared/film/doubt-causes.ts'
import { expectationOf, type Question, questionReadings } from '../../../shared/film/question-readings.ts'
import { questionWords } from '../../../shared/film/question-words.ts'
import type { TypedReading as Entry, RunCard } from './bench-store.ts'

/** A question as the page shows it: the words, what may be entered instead, and a reason for leaving it out. */
export type Asked = { words: string; corrections: Entry[]; reason: string }

/**
 * What is odd about the readings in force: by site, and what concerns several of them or one that has no site.
 * A site that is being typed over is not asked about.
 */
export function askedQuestions(
  card: Pick<RunCard, 'study' | 'readings' | 'expectedNm' | 'expectedIntervalNm'>,
  isTyped: (site: number | null) => boolean = () => false,
): { bySite: Map<number, Asked>; ofRun: Asked[] } {
  const { study, expectedNm, expectedIntervalNm } = card
  const fit = expectedNm === null ? null : { nm: expectedNm, interval: expectedIntervalNm }
  const readings = card.readings
    .filter(({ quantity, excluded, value }) => quantity === 'thickness' && excluded === null && value > 0)
    .map(typedReading)
  const bySite = new Map<number, Asked>()
  const ofRun: Asked[] = []
  for (const question of questionReadings({ ...study, readings, expectation: expectationOf(study, fit) })) {
    const asked = question.readings.map((i) => readings[i] as TypedReading)
    if (asked.some(({ site }) => isTyped(site))) continue
    const shown: Asked = {
      words: questionWords(question, readings, study),
      corrections: asked.flatMap((reading) => correctionOf(question, reading)),
      reason: reasons[question.causes[0]?.cause ?? 'level'],
    }
    const site = asked.length === 1 ? (asked[0] as TypedReading).site : null
    if (site === null) ofRun.push(shown)
    else bySite.set(site, shown)
  }
  return { bySite, ofRun }
}

/** Only a mistake of typing has a right text: a jump of the gauge or a comet is read again or left out. */
function correctionOf({ causes }: Question, reading: TypedReading): Entry[] {
  const [likeliest] = causes
  if (reading.site === null || !likeliest) return []
  const text =
    likeliest.cause === 'unitSlip' && likeliest.power !== undefined
      ? slipBy(reading, likeliest.power).correction
      : likeliest.correction
  return text === undefined ? [] : [{ site: reading.site, text }]
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
