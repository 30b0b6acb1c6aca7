import type { KeptItem } from '../../../shared/contract/report.ts'
import type { Study } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { good } from '../../../shared/problem.ts'
import { paperTheme } from '../../../shared/report/paper-theme.ts'
import { writeCsv } from '../files/write-csv.ts'
import { now } from '../store/ids.ts'
import type { Store } from '../store/open.ts'
import { keepReportItems, reportItemsOf } from '../store/report.ts'
import { describeStep } from '../store/step.ts'
import { done, findStudy, type Handlers } from './handler.ts'
import { ledgerOf } from './ledger.ts'
import { hashOfStudy, keptNote, reportFitInput, reportInput } from './report-facts.ts'
import { readingsCsv, runsCsv, simulated, studyFileName } from './study-csv.ts'
import { historyCsv } from './told-history.ts'

type Names =
  | 'reports.document'
  | 'reports.items'
  | 'reports.arrange'
  | 'reports.runsCsv'
  | 'reports.readingsCsv'
  | 'reports.termsCsv'
  | 'reports.ledgerCsv'
  | 'reports.historyCsv'

export const reports: Handlers<Names> = {
  'reports.document': {
    computation: 'report',
    newestOnly: true,
    ask({ studyId, parts, theme = paperTheme }, store) {
      const study = findStudy(store, studyId)
      if (!study.ok) return study
      const items: KeptItem[] =
        parts?.map((part) => ({ kind: 'part', part })) ?? reportItemsOf(store.db, studyId)
      return good(reportInput(store, study.value, { items, theme }))
    },
    finish: ({ text, stale }, { studyId }, store) => {
      const study = findStudy(store, studyId)
      return study.ok ? good({ fileName: studyFileName(study.value, ' report.html'), text, stale }) : study
    },
  },

  'reports.items': ({ studyId }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    return good({ items: reportItemsOf(store.db, studyId), dataHash: hashOfStudy(store, study.value) })
  },

  'reports.arrange': ({ studyId, items }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const before = reportItemsOf(store.db, studyId)
    const stamp = { at: now(), dataHash: hashOfStudy(store, study.value) }
    const kept = items.map((item) =>
      item.kind === 'part' ? item : keptNote({ id: item.id, text: item.text }, before, stamp),
    )
    keepReportItems(store.db, studyId, kept)
    describeStep(store.db, { label: 'Put the report together', studyId })
    return done
  },

  'reports.runsCsv': ({ studyId }, store) => file(store, studyId, 'runs', runsCsv),

  'reports.readingsCsv': ({ studyId }, store) => file(store, studyId, 'readings', readingsCsv),

  'reports.termsCsv': {
    computation: 'reportTerms',
    ask({ studyId }, store) {
      const study = findStudy(store, studyId)
      return study.ok ? good(reportFitInput(store, study.value)) : study
    },
    finish: (fit, { studyId }, store) =>
      file(store, studyId, 'fit terms', (_, study) => termsCsv(fit, study)),
  },

  'reports.ledgerCsv': ({ studyId }, store) => file(store, studyId, 'ledger', ledgerCsv),

  'reports.historyCsv': ({ studyId }, store) => file(store, studyId, 'history', historyCsv),
}

function file(store: Store, studyId: string, what: string, write: (store: Store, study: Study) => string) {
  const study = findStudy(store, studyId)
  if (!study.ok) return study
  return good({ fileName: studyFileName(study.value, ` ${what}.csv`), text: write(store, study.value) })
}

/** A row for each term of the fit over days; none where there is no model. */
function termsCsv(
  found: { model: string; dataHash: string; fit: Result<'fits.fit'>['fit'] } | null,
  study: Study,
): string {
  const marked = study.simulated ? [simulated] : []
  return writeCsv(
    ['term', 'estimate', 'standard error', 'df', 't', 'p', 'lower', 'upper', 'model', 'data', ...marked],
    (found?.fit.terms ?? []).map(({ term, estimate, standardError, df, t, p, lower, upper }) => [
      ...[term, estimate, standardError, df, t, p, lower, upper],
      found?.model ?? '',
      found?.dataHash ?? '',
      ...marked,
    ]),
  )
}

/** A row for each prediction that was kept; thickness in nm, another response in its own unit. */
function ledgerCsv(store: Store, study: Study): string {
  const marked = study.simulated ? [simulated] : []
  const names = study.factors.map(({ name }) => name)
  return writeCsv(
    [
      ...['run', 'session', 'predicted at', 'response', 'for', ...names, 'predicted', 'lower', 'upper'],
      ...['chance in tolerance', 'measured', 'inside', 'not judged', 'model', 'data', ...marked],
    ],
    ledgerOf(store, study).entries.map((entry) => [
      ...[entry.code, entry.session, entry.at, entry.response, entry.scope],
      ...names.map((name) => entry.settings[name] ?? null),
      ...[entry.estimate, entry.lower, entry.upper, entry.chance, entry.measured],
      ...[entry.inside === null ? null : String(entry.inside), entry.notJudged, entry.model, entry.dataHash],
      ...marked,
    ]),
  )
}
