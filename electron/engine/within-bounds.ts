/** Far more than any call takes. */
const [mostLevels, longestList] = [100, 1_000_000]

/**
 * Whether arguments are nested no deeper, and hold no longer lists, than can be looked through: a message of few bytes can
 * hold itself, or a list of 2³² − 1 empty places.
 */
export function withinBounds(value: unknown, levels = mostLevels): boolean {
  if (typeof value !== 'object' || value === null) return true
  if (levels === 0 || (Array.isArray(value) && value.length > longestList)) return false
  return Object.values(value).every((part) => withinBounds(part, levels - 1))
}
