import { thicknessUnitOf } from '../../shared/units.ts'

/** Written units by what they measure, in units of the first. */
const families: Record<string, number>[] = [
  { Å: 1, nm: 10, µm: 1e4, mm: 1e7, cm: 1e8, in: 2.54e8 },
  { s: 1, min: 60, h: 3600 },
  { rpm: 1, krpm: 1000 },
  { 'rpm/s': 1, 'krpm/s': 1000 },
  { '°C': 1 },
]

/** Other ways to write units that are no thickness; those of thickness are known to units.ts. */
const spellings: Record<string, string> = {
  inch: 'in',
  sec: 's',
  '1/min': 'rpm',
  degC: '°C',
  C: '°C',
}

const plainUnit = (unit: string) => thicknessUnitOf(unit) ?? spellings[unit.trim()] ?? unit.trim()

/** A value carried from one written unit to another, or null where that is not possible. */
export function convertUnit(value: number, from: string, to: string): number | null {
  const [source, wanted] = [from, to].map(plainUnit) as [string, string]
  if (source === wanted) return value
  for (const family of families) {
    const [a, b] = [family[source], family[wanted]]
    // One product, one quotient: 3 cm are exactly 30 mm.
    if (a !== undefined && b !== undefined) return Number(((value * a) / b).toPrecision(15))
  }
  return null
}
