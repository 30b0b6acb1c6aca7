/** A CSV file of so many readings of new wafers N0, N1 …, 500 to each, at places of their own. */
export function longFile(readings: number): string {
  const rows = Array.from({ length: readings }, (_, i) => {
    const [column, row] = [i % 25, Math.floor(i / 25) % 20]
    return `N${Math.floor(i / 500)},${column * 2 - 24},${row * 2 - 19},${(1500 + (i % 89) / 10).toFixed(1)}`
  })
  return ['wafer,x (mm),y (mm),thickness (nm)', ...rows].join('\n')
}
