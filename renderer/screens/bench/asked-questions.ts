import type { Reading } from '../../../shared/contract/things.ts'
import { slipBy, typedReading } from '../../../shared/film/doubt-causes.ts'
import { expectationOf, type Question, questionReadings } from '../../../shared/film/question-readings.ts'
import { questionWords } from '../../../shared/film/question-words.ts'
import { ofStage, stageOf } from '../../../shared/film/reading-stage.ts'
import { parseThickness, type ThicknessUnit } from '../../../shared/units.ts'
import type { TypedReading as Entry, RunCard } from './bench-store.ts'
import { type Spot, spotKey } from './spot.ts'
import { words } from './words/read.ts'

/** A question as the page shows it: the words, what may be entered instead, and a reason for leaving it out. */
export type Asked = { words: string; corrections: Entry[]; reason: string }

type AskedRun = Pick<RunCard, 'study' | 'readings' | 'expectedNm' | 'expectedIntervalNm'>

/**
 * What would be odd about a run if these texts were entered, at the stage that is being read: by spot of theirs, and of
 * the whole run what is not asked already. A text that is no number is left aside.
 */
export function askedIfEntered(
  run: AskedRun & Pick<RunCard, 'sites'>,
  offered: readonly Entry[],
  unit: ThicknessUnit,
): ReturnType<typeof askedQuestions> {
  const { study, sites } = run
  const places = new Map(sites.map((place) => [place.site, place]))
  const added = new Map<string, Reading>()
  for (const { site, repeat, text } of offered) {
    const typed = parseThickness(text, { unit })
    if (!typed.ok) continue
    const { xMm = null, yMm = null } = places.get(site) ?? {}
    const place = { site, xMm, yMm, repeat }
    const how = { quantity: 'thickness', takenAfter: study.readAfter, opticalIndex: null }
    const said = { value: typed.value.valueNm, text: typed.value.text, unit: typed.value.unit }
    const reading = { id: '', runId: '', ...place, ...how, ...said, at: '', supersedes: null, excluded: null }
    added.set(spotKey(reading), reading)
  }
  const stands = run.readings.filter(
    (reading) =>
      reading.quantity !== 'thickness' ||
      stageOf(reading, study) !== study.readAfter ||
      !added.has(spotKey(reading)),
  )
  const before = new Set(askedQuestions(run).ofRun.map(({ words }) => words))
  const { bySpot, ofRun } = askedQuestions({ ...run, readings: [...stands, ...added.values()].sort(bySite) })
  return {
    bySpot: new Map([...bySpot].filter(([spot]) => added.has(spot))),
    ofRun: ofRun.filter(({ words }) => !before.has(words)),
  }
}

/**
 * What is odd about the readings in force at the stage that is being read: by spot, and what concerns several of them or
 * one that has no site. A spot that is being typed over is not asked about.
 */
export function askedQuestions(
  card: AskedRun,
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

/** The order in which readings are kept, so that the same question has the same words. */
const bySite = (one: Reading, other: Reading) =>
  (one.site ?? 0) - (other.site ?? 0) || one.repeat - other.repeat

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
  unitSlip: words.causes.mistyped,
  digitSwap: words.causes.mistyped,
  fringeOrder: words.causes.fringe,
  edgeBead: words.causes.bead,
  singleLow: words.causes.particle,
  singleHigh: words.causes.particle,
  gaugeRange: words.causes.range,
  level: '',
}
