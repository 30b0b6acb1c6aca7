import type { Gauge } from '../../../shared/contract/tools.ts'
import { plainFileName } from '../../../shared/file-name.ts'
import { analyseCheckLog } from '../../../shared/gauge/check-log.ts'
import { good, type Problem, refuse } from '../../../shared/problem.ts'
import { writeCsv } from '../files/write-csv.ts'
import {
  addCheckReading,
  checkReadingsOf,
  checkStandardsOf,
  keepCheckStandard,
  withdrawCheckReading,
} from '../store/gauges.ts'
import type { Store } from '../store/open.ts'
import { describeStep } from '../store/step.ts'
import { keepTool, toolOf } from '../store/tools.ts'
import { noSuchGauge } from './gauges.ts'
import { done, type Handlers } from './handler.ts'
import { typedFilm } from './typed-film.ts'

type Names =
  | 'gauges.checkLog'
  | 'gauges.checkLogCsv'
  | 'gauges.saveStandard'
  | 'gauges.enterCheckReadings'
  | 'gauges.withdrawCheckReadings'
  | 'gauges.useCheckLog'

export const checkStandards: Handlers<Names> = {
  'gauges.checkLog': ({ gaugeId }, { db }) =>
    good(
      checkStandardsOf(db).map((standard) => {
        const readings = checkReadingsOf(db, gaugeId, standard.id)
        const result = analyseCheckLog(readings, standard)
        return { standard, readings, result: result.ok ? result.value : null }
      }),
    ),

  'gauges.checkLogCsv': ({ gaugeId, standardId }, store) => {
    const { db } = store
    const standard = standardOf(store, standardId)
    if (!standard) return noSuchStandard
    const gauge = toolOf(db, 'gauge', gaugeId)?.name ?? ''
    const rows = checkReadingsOf(db, gaugeId, standardId).map(({ day, value, text, unit }) => [
      ...[gauge, standard.name, day, value, text, unit],
    ])
    return good({
      fileName: plainFileName(`${gauge} check of ${standard.name}.csv`),
      text: writeCsv(['gauge', 'standard', 'day', 'thickness (nm)', 'as typed', 'typed in'], rows),
    })
  },

  'gauges.saveStandard': ({ studyId, standard }, store) => {
    if (standard.id !== undefined && !standardOf(store, standard.id)) return noSuchStandard
    const id = keepCheckStandard(store.db, standard)
    describeStep(store.db, { label: `Saved the check standard ‘${standard.name}’`, studyId })
    return good({ id })
  },

  'gauges.enterCheckReadings': ({ studyId, gaugeId, standardId, readings }, store) => {
    if (!toolOf(store.db, 'gauge', gaugeId)) return noSuchGauge
    const standard = standardOf(store, standardId)
    if (!standard) return noSuchStandard
    const problems: Problem[] = []
    for (const [i, { day, text, unit }] of readings.entries()) {
      const read = typedFilm(text, unit)
      if (read.ok) addCheckReading(store.db, { gaugeId, standardId, day, ...read.value })
      else problems.push(...read.problems.map((problem) => ({ ...problem, row: i + 1 })))
    }
    if (problems.length > 0) return { ok: false, problems }
    describeStep(store.db, { label: `Logged ‘${standard.name}’`, studyId })
    return done
  },

  'gauges.withdrawCheckReadings': ({ studyId, readingIds }, { db }) => {
    for (const id of readingIds) withdrawCheckReading(db, id)
    describeStep(db, { label: 'Withdrew readings of a check standard', studyId })
    return done
  },

  'gauges.useCheckLog': ({ studyId, gaugeId, standardId }, store) => {
    const gauge = toolOf(store.db, 'gauge', gaugeId)
    if (!gauge) return noSuchGauge
    const standard = standardOf(store, standardId)
    if (!standard) return noSuchStandard
    const log = analyseCheckLog(checkReadingsOf(store.db, gaugeId, standardId), standard)
    if (!log.ok) return log
    const { calibration, days } = log.value
    if (!calibration)
      return refuse(
        'tooFewDays',
        'One day does not tell how sure the calibration is. Read the standard on another day.',
      )
    const from = `check standard ‘${standard.name}’, ${days.length} days up to ${days.at(-1)?.day}`
    const known: Gauge = {
      ...gauge,
      calibration: calibration.value,
      origins: { ...gauge.origins, calibration: { df: calibration.df, from } },
    }
    keepTool(store.db, 'gauge', known)
    describeStep(store.db, { label: `Used a check standard for ‘${gauge.name}’`, studyId })
    return done
  },
}

const noSuchStandard = refuse('noSuchStandard', 'There is no such check standard here.')
const standardOf = ({ db }: Store, id: string) => checkStandardsOf(db).find((standard) => standard.id === id)
