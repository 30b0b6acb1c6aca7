import type { Database } from 'better-sqlite3'
import { reportParts } from '../../../shared/contract/choices.ts'
import type { KeptItem } from '../../../shared/contract/report.ts'

/** How a person has put the report of a study together; every part in the usual order where nobody has. */
export function reportItemsOf(db: Database, studyId: string): KeptItem[] {
  const kept = db.prepare('SELECT items FROM report WHERE id = ?').pluck().get(studyId) as string | undefined
  return kept === undefined ? reportParts.map((part) => ({ kind: 'part', part })) : JSON.parse(kept)
}

export function keepReportItems(db: Database, studyId: string, items: readonly KeptItem[]): void {
  db.prepare(
    'INSERT INTO report (id, items) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET items = excluded.items',
  ).run(studyId, JSON.stringify(items))
}
