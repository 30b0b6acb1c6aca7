export type ZoneAlarm = 'limits' | 'twoOfThree' | 'fourOfFive' | 'eightOnOneSide'

/** So many of the last so many points beyond so many standard deviations on one side. */
const rules: { name: ZoneAlarm; beyond: number; many: number; of: number }[] = [
  { name: 'limits', beyond: 3, many: 1, of: 1 },
  { name: 'twoOfThree', beyond: 2, many: 2, of: 3 },
  { name: 'fourOfFive', beyond: 1, many: 4, of: 5 },
  { name: 'eightOnOneSide', beyond: 0, many: 8, of: 8 },
]

/**
 * Which zone rules each point breaks (Western Electric, Statistical Quality Control Handbook, 1956; NIST/SEMATECH
 * e-Handbook 6.3.2). A rule is broken at its last point, which must itself lie in the zone.
 *
 * @param z distances from the centre in standard deviations, in order
 */
export function zoneAlarms(z: readonly number[]): ZoneAlarm[][] {
  return z.map((_, i) =>
    rules
      .filter(({ beyond, many, of }) => {
        const last = z.slice(Math.max(0, i + 1 - of), i + 1)
        return [1, -1].some(
          (side) =>
            side * (z[i] ?? 0) > beyond && last.filter((value) => side * value > beyond).length >= many,
        )
      })
      .map(({ name }) => name),
  )
}
