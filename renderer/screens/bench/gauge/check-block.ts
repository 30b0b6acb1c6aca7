/**
 * Readings of a check standard pasted as lines of day and reading, the day as 2026-03-02; a line without a day belongs
 * to the day given. A first line without a digit heads the columns. Null where a line is neither.
 */
export function checkBlock(text: string, today: string): { day: string; text: string }[] | null {
  const lines = text
    .split(/\r\n|\r|\n/)
    .map((line) => line.split(/\t|;/).map((cell) => cell.trim()))
    .filter((cells) => cells.some((cell) => cell !== ''))
  const first = lines[0]
  const body = first && !first.some((cell) => /\d/.test(cell)) ? lines.slice(1) : lines
  const rows = body.map((cells) => {
    const [one = '', two = '', ...more] = cells
    if (more.some((cell) => cell !== '')) return null
    if (two === '') return { day: today, text: one }
    return /^\d{4}-\d{2}-\d{2}$/.test(one) ? { day: one, text: two } : null
  })
  return rows.length > 0 && rows.every((row) => row !== null) ? rows : null
}
