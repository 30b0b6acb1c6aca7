import Sqlite from 'better-sqlite3'
import { readingsOfRun } from '../../electron/engine/store/readings.ts'
import { studyOf } from '../../electron/engine/store/studies.ts'
import { summarizeRun, summaryQuestion } from '../../shared/film/run-summary.ts'

/** How many summaries a database keeps, and the runs of which one does not say what their readings come to. */
export function keptSummaries(file: string): { kept: number; wrong: string[] } {
  const db = new Sqlite(file, { readonly: true })
  try {
    const rows = db
      .prepare(
        `SELECT run.id, run.code, run.studyId, question, summary FROM runSummary JOIN run ON run.id = runId
         WHERE run.removed = 0`,
      )
      .all() as { id: string; code: string; studyId: string; question: string; summary: string }[]
    const wrong = rows.filter(({ id, studyId, question, summary }) => {
      const study = studyOf(db, studyId)
      // Of a study that was changed since it is not asked for.
      if (!study || question !== summaryQuestion(study)) return false
      const { film, ...said } = JSON.parse(summary)
      const { film: ofReadings, ...found } = summarizeRun(study, { code: film?.id }, readingsOfRun(db, id))
      return JSON.stringify([said, film]) !== JSON.stringify([found, ofReadings])
    })
    return { kept: rows.length, wrong: wrong.map(({ code }) => code) }
  } finally {
    db.close()
  }
}
