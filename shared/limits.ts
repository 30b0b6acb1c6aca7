/**
 * How much a file may hold: more than any tool writes, and less than fills the memory. Rows are those of a spreadsheet;
 * the other limits are ours.
 */
export const fileLimits = {
  table: { characters: 200_000_000, rows: 1_048_576, columns: 5000, cells: 20_000_000 },
  trace: { characters: 50_000_000, points: 250_000 },
  /** A study's file, in base 64. */
  study: { characters: 400_000_000 },
  /** Characters in one line, and in the name of a column. */
  line: 1_000_000,
  header: 1000,
} as const
