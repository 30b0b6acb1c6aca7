/**
 * Why a value, nm, cannot be a film's thickness, or null: gauges write 0 and negative numbers where a reading
 * failed or was flagged. Such a reading is kept and marked as excluded.
 */
export function noThickness(valueNm: number): string | null {
  if (valueNm === 0) return 'The reading is zero.'
  return valueNm < 0 ? 'The reading is negative.' : null
}
