/** Householder QR of rows × columns in plain doubles, with the residual sum of squares. */
export function plainFit(rows: number, columns: number): number {
  const a = Array.from({ length: columns + 1 }, (_, k) =>
    Float64Array.from({ length: rows }, (_, i) => Math.sin((i + 1) * (k + 1) ** 1.3)),
  )
  for (let k = 0; k < columns; k++) {
    const v = a[k] as Float64Array
    let size = 0
    for (let i = k; i < rows; i++) size += (v[i] as number) ** 2
    const diagonal = (v[k] as number) > 0 ? -Math.sqrt(size) : Math.sqrt(size)
    v[k] = (v[k] as number) - diagonal
    const scale = -1 / (diagonal * (v[k] as number))
    for (const column of a.slice(k + 1)) {
      let sum = 0
      for (let i = k; i < rows; i++) sum += (v[i] as number) * (column[i] as number)
      for (let i = k; i < rows; i++) column[i] = (column[i] as number) - scale * sum * (v[i] as number)
    }
  }
  return (a[columns] as Float64Array).subarray(columns).reduce((sum, value) => sum + value * value, 0)
}
