import type { GaugeReading, GaugeStudy } from '../../../shared/contract/gauges.ts'
import type { GaugeResult } from '../../../shared/contract/results/gauge.ts'
import type { Gauge } from '../../../shared/contract/tools.ts'
import type { CheckedArgs } from '../../../shared/contract.ts'
import { plainFileName, withinBytes } from '../../../shared/file-name.ts'
import { analyseGaugeStudy } from '../../../shared/gauge/analyse-study.ts'
import { gaugeBias } from '../../../shared/gauge/gauge-bias.ts'
import { loadingOrder } from '../../../shared/gauge/loading-order.ts'
import { studyReach } from '../../../shared/gauge/study-reach.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { writeCsv } from '../files/write-csv.ts'
import {
  addGaugeReading,
  addGaugeStudy,
  changeGaugeStudy,
  gaugeReadingsOf,
  gaugeStudiesOf,
  gaugeStudyOf,
  withdrawGaugeReading,
} from '../store/gauges.ts'
import type { Store } from '../store/open.ts'
import { describeStep } from '../store/step.ts'
import { keepTool, toolOf } from '../store/tools.ts'
import { done, type Handlers } from './handler.ts'
import { typedFilm } from './typed-film.ts'

type Names =
  | 'gauges.reach'
  | 'gauges.studies'
  | 'gauges.study'
  | 'gauges.studyCsv'
  | 'gauges.startStudy'
  | 'gauges.changeStudy'
  | 'gauges.removeStudy'
  | 'gauges.enterReadings'
  | 'gauges.useStudy'
  | 'gauges.compare'

export const gauges: Handlers<Names> = {
  'gauges.reach': (size) => good(studyReach(size)),

  'gauges.studies': ({ gaugeId }, { db }) =>
    good(
      gaugeStudiesOf(db, gaugeId).map((study) => ({
        ...study,
        of: study.wafers.length * study.operators.length * study.reloads * study.scans,
      })),
    ),

  'gauges.study': ({ gaugeStudyId }, store) => {
    const study = findGaugeStudy(store, gaugeStudyId)
    if (!study.ok) return study
    const readings = gaugeReadingsOf(store.db, gaugeStudyId)
    const result = resultOf(study.value, readings)
    return good({
      study: study.value,
      order: loadingOrder(study.value),
      readings,
      result: result.ok ? result.value : null,
      problems: result.ok ? [] : result.problems,
    })
  },

  'gauges.studyCsv': ({ gaugeStudyId }, store) => {
    const found = findGaugeStudy(store, gaugeStudyId)
    if (!found.ok) return found
    const study = found.value
    const gauge = toolOf(store.db, 'gauge', study.gaugeId)?.name ?? ''
    const readings = gaugeReadingsOf(store.db, gaugeStudyId)
    const rows = loadingOrder(study).flatMap(({ wafer, operator, reload }) =>
      readings
        .filter((one) => one.wafer === wafer && one.operator === operator && one.reload === reload)
        .sort((a, b) => a.scan - b.scan)
        .map(({ scan, value, text, unit }) => [
          ...[gauge, study.wafers[wafer - 1] ?? '', study.operators[operator - 1] ?? ''],
          ...[reload, scan, value, text, unit],
        ]),
    )
    return good({
      fileName: plainFileName(`${withinBytes(gauge, 120)} gauge study ${study.at.slice(0, 10)}.csv`),
      text: writeCsv(
        ['gauge', 'wafer', 'operator', 'reload', 'scan', 'thickness (nm)', 'as typed', 'typed in'],
        rows,
      ),
    })
  },

  'gauges.startStudy': ({ studyId, study }, { db }) => {
    const gauge = toolOf(db, 'gauge', study.gaugeId)
    if (!gauge) return noSuchGauge
    const twice = [study.wafers, study.operators].flatMap(namedTwice)[0]
    if (twice !== undefined)
      return refuse(
        'sameName',
        `‘${twice}’ stands twice. Give each wafer and each operator a name of its own.`,
      )
    if (study.reloads < 2)
      return refuse(
        'noReload',
        'Load each wafer at least twice: from one loading nothing is learned of the reload.',
        {
          column: 'reloads',
        },
      )
    // The order has only to differ from study to study.
    const seed = gaugeStudiesOf(db, study.gaugeId).length + 1
    const id = addGaugeStudy(db, { ...study, seed })
    describeStep(db, { label: `Started a gauge study of ‘${gauge.name}’`, studyId })
    return good({ id })
  },

  'gauges.changeStudy': ({ studyId, gaugeStudyId, change }, store) => {
    const study = findGaugeStudy(store, gaugeStudyId)
    if (!study.ok) return study
    changeGaugeStudy(store.db, gaugeStudyId, change)
    describeStep(store.db, { label: 'Changed a gauge study', studyId })
    return done
  },

  'gauges.removeStudy': ({ studyId, gaugeStudyId }, store) => {
    const study = findGaugeStudy(store, gaugeStudyId)
    if (!study.ok) return study
    changeGaugeStudy(store.db, gaugeStudyId, { removed: true })
    describeStep(store.db, { label: 'Removed a gauge study', studyId })
    return done
  },

  'gauges.enterReadings': (args, store) => {
    const study = findGaugeStudy(store, args.gaugeStudyId)
    if (!study.ok) return study
    const parsed = parsedReadings(study.value, args)
    if (!parsed.ok) return parsed
    const standing = new Map(
      gaugeReadingsOf(store.db, args.gaugeStudyId).map((reading) => [placeOf(reading), reading]),
    )
    let kept = 0
    for (const { place, reading } of parsed.value) {
      const before = standing.get(placeOf(place))
      if (before?.text === reading?.text && before?.unit === reading?.unit) continue
      withdrawGaugeReading(store.db, args.gaugeStudyId, place)
      if (reading) addGaugeReading(store.db, args.gaugeStudyId, reading)
      kept++
    }
    const label = kept === 1 ? 'Entered a gauge reading' : `Entered ${kept} gauge readings`
    describeStep(store.db, { label, studyId: args.studyId })
    return done
  },

  'gauges.useStudy': ({ studyId, gaugeStudyId }, store) => {
    const study = findGaugeStudy(store, gaugeStudyId)
    if (!study.ok) return study
    const gauge = toolOf(store.db, 'gauge', study.value.gaugeId)
    if (!gauge) return noSuchGauge
    const result = resultOf(study.value, gaugeReadingsOf(store.db, gaugeStudyId))
    if (!result.ok) return result
    keepTool(store.db, 'gauge', withNumbers(gauge, study.value, result.value))
    describeStep(store.db, { label: `Used a gauge study for ‘${gauge.name}’`, studyId })
    return done
  },

  'gauges.compare': ({ first, second }, store) => {
    const named = [first, second].map((id) => {
      const study = findGaugeStudy(store, id)
      if (!study.ok) return study
      const { wafers } = study.value
      return good(
        gaugeReadingsOf(store.db, id).map(({ wafer, value }) => ({ wafer: wafers[wafer - 1] ?? '', value })),
      )
    })
    const [one, other] = named
    if (!one?.ok) return one ?? noSuchStudy
    if (!other?.ok) return other ?? noSuchStudy
    return gaugeBias(one.value, other.value)
  },
}

const noSuchStudy = refuse('noSuchGaugeStudy', 'There is no such gauge study here (any more).')
export const noSuchGauge = refuse('noSuchTool', 'There is no such gauge here.')

function findGaugeStudy({ db }: Store, id: string): Answer<GaugeStudy> {
  const study = gaugeStudyOf(db, id)
  return study ? good(study) : noSuchStudy
}

function resultOf(study: GaugeStudy, readings: readonly GaugeReading[]): Answer<GaugeResult> {
  return analyseGaugeStudy(
    readings.map(({ wafer, operator, reload, value }) => ({
      wafer: study.wafers[wafer - 1] ?? '',
      operator: study.operators[operator - 1] ?? '',
      reload: String(reload),
      value,
    })),
    { tolerance: study.toleranceNm },
  )
}

/** The gauge with what the study found; what the study cannot tell stays as it was. */
function withNumbers(gauge: Gauge, study: GaugeStudy, { used, operators }: GaugeResult): Gauge {
  const from = `gauge study of ${study.at.slice(0, 10)}`
  const people = operators > 1 ? `${from}, with ${operators} operators in it` : from
  const { repeatability, reload } = used
  return {
    ...gauge,
    ...(repeatability ? { repeatability: repeatability.value } : {}),
    reload: reload.value,
    origins: {
      ...gauge.origins,
      ...(repeatability ? { repeatability: { df: repeatability.df, from } } : {}),
      reload: { df: reload.df, from: repeatability ? people : `${people}; one scan is in it` },
    },
  }
}

type Parsed = { place: Omit<GaugeReading, 'value' | 'text' | 'unit'>; reading: GaugeReading | null }

/** Everything that was typed, or a problem for each entry that cannot be read; a reading of null takes one back. */
function parsedReadings(study: GaugeStudy, args: CheckedArgs<'gauges.enterReadings'>): Answer<Parsed[]> {
  const problems: Problem[] = []
  const parsed = args.readings.flatMap(({ text, ...place }, i): Parsed[] => {
    const { wafers, operators, reloads, scans } = study
    const where = `Wafer ${wafers[place.wafer - 1]}, loading ${place.reload}, scan ${place.scan}`
    const problem = (code: string, message: string) =>
      problems.push({ code, message: `${where}: ${message} Nothing was taken.`, row: i + 1 })
    if (
      place.wafer > wafers.length ||
      place.operator > operators.length ||
      place.reload > reloads ||
      place.scan > scans
    ) {
      problem('noSuchPlace', 'The gauge study has no such wafer, operator, loading or scan.')
      return []
    }
    if (text.trim() === '') return [{ place, reading: null }]
    const read = typedFilm(text, args.unit)
    if (read.ok) return [{ place, reading: { ...place, ...read.value } }]
    for (const { code, message } of read.problems) problem(code, message)
    return []
  })
  return problems.length > 0 ? { ok: false, problems } : good(parsed)
}

const placeOf = ({ wafer, operator, reload, scan }: Parsed['place']) =>
  `${wafer} ${operator} ${reload} ${scan}`

const namedTwice = (names: readonly string[]) =>
  names.filter((name, i) => names.findIndex((other) => other.toLowerCase() === name.toLowerCase()) < i)
