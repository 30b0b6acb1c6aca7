/** A row as the record holds it, or as it stands now. */
export type RecordedRow = Readonly<Record<string, unknown>>

/** How the teller finds what a change only names. */
export type Look = {
  /** The row as it stands now, also where it has been taken away by a mark; null where there is none. */
  row(table: string, id: string): RecordedRow | null
  /** The unit of a factor of a study, empty where there is none. */
  unitOf(studyId: string, factor: string): string
}
