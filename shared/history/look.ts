/** A row as the record holds it, or as it stands now. */
export type RecordedRow = Readonly<Record<string, unknown>>

/** How the teller finds what a change only names. */
export type Look = {
  /** The row as it stands now, also where it has been taken away by a mark; null where there is none. */
  row(table: string, id: string): RecordedRow | null
  /** The unit of a factor of a study, empty where there is none. */
  unitOf(studyId: string, factor: string): string
}

/**
 * Tables of raw readings: their rows are never changed but for the mark by which they are withdrawn. The row itself stands
 * for what it was, and the record holds its identifier and the mark alone.
 */
export const readingTables: readonly string[] = ['reading', 'gaugeReading', 'checkReading']
