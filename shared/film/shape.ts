import type { FilmShape } from '../contract/results/film.ts'
import { centreLine } from './centre-line.ts'
import { keptForSameMap } from './same-map.ts'

type SiteReading = { x: number; y: number; value: number }

const noShape: FilmShape = {
  bowl: null,
  ring: null,
  wedgeX: null,
  wedgeY: null,
  rest: null,
  wedge: null,
  wedgeDirection: null,
}

/**
 * The terms, ρ = r / substrate radius. All but the constant average to zero over the full disc. They are the
 * lowest circle polynomials of Zernike (Physica 1, 1934) without their scale factors.
 */
const terms = [
  { name: 'constant', of: () => 1 },
  { name: 'bowl', of: (u: number, v: number) => 2 * (u * u + v * v) - 1 },
  {
    name: 'ring',
    of: (u: number, v: number) => {
      const square = u * u + v * v
      return 6 * square ** 2 - 6 * square + 1
    },
  },
  { name: 'wedgeX', of: (u: number) => u },
  { name: 'wedgeY', of: (_: number, v: number) => v },
] as const
type TermName = (typeof terms)[number]['name']

/** Constant, bowl, ring, wedgeX and wedgeY at a place, in substrate radii. */
export const shapeColumns = (u: number, v: number): number[] => terms.map((term) => term.of(u, v))

/** Ring last: it is the finest of them, and what few sites cannot tell from a wedge is given to the wedge. */
const fitOrder = ['constant', 'bowl', 'wedgeX', 'wedgeY', 'ring'] as const satisfies readonly TermName[]

/**
 * A wedge can be given only where the earlier terms leave at least this share of how far the sites lie apart: across a
 * line there is nothing but rounding.
 */
const leastOwnShare = 0.01
/**
 * Bowl and ring go by the whole substrate, which sites near its centre hardly tell. Either is given only where its
 * standard error is at most this many times the scatter of one site; with 9 sites that reach 0.9 of the radius it is
 * 0.5 times for the bowl and 1.2 times for the ring. The choice of the limit is ours, no source.
 */
const mostError = 5

/**
 * The shape terms of one substrate, and what is left: the residual standard deviation in the unit of the values, with
 * its degrees of freedom.
 */
export type ShapeFit = {
  shape: FilmShape
  residualStandardDeviation: number | null
  df: number
  /** What the shape leaves of each value. */
  residuals: readonly number[]
}

/** A term that the sites can give, made orthogonal to those before it and of unit length. */
type ShapeTerm = { name: TermName; basis: number[]; projections: number[]; length: number }

/** The terms that sites can give, in the order in which they are fitted. */
const termsOf = keptForSameMap((sites, radiusMm: number): ShapeTerm[] => {
  const estimable: ShapeTerm[] = []
  const spread = Math.hypot(...sites.flatMap(({ x, y }) => [x / radiusMm, y / radiusMm]))
  // Modified Gram–Schmidt, each column made orthogonal twice over: as accurate as Householder's QR for five columns.
  for (const name of fitOrder) {
    const { of } = terms.find((term) => term.name === name) as (typeof terms)[number]
    const column = sites.map(({ x, y }) => of(x / radiusMm, y / radiusMm))
    const projections = estimable.map(() => 0)
    for (let pass = 0; pass < 2; pass++)
      estimable.forEach(({ basis }, j) => {
        const share = dot(basis, column)
        projections[j] = (projections[j] as number) + share
        basis.forEach((b, i) => {
          column[i] = (column[i] as number) - share * b
        })
      })
    const length = Math.sqrt(dot(column, column))
    // The standard error of the term, in units of the scatter of one site, is one over what is its own.
    const least = name.startsWith('wedge') ? leastOwnShare * spread : 1 / mostError
    if (estimable.length >= sites.length || length <= least) continue
    estimable.push({ name, basis: column.map((value) => value / length), projections, length })
  }
  return estimable
})

/**
 * Least squares of the shape terms, as fractions of the fitted constant. Terms that the sites cannot give are
 * null, and so is the rest where no degree of freedom is left for it.
 */
export function fitShape(readings: readonly SiteReading[], radiusMm: number): ShapeFit {
  const estimable = termsOf(readings, radiusMm)
  let residual = readings.map((reading) => reading.value)
  const responses = estimable.map(({ basis }) => {
    const response = dot(basis, residual)
    residual = residual.map((value, i) => value - response * (basis[i] as number))
    return response
  })
  const coefficients = new Map<TermName, number>()
  for (let j = estimable.length - 1; j >= 0; j--) {
    const { name, length } = estimable[j] as (typeof estimable)[number]
    let value = responses[j] as number
    for (const later of estimable.slice(j + 1))
      value -= (later.projections[j] as number) * (coefficients.get(later.name) as number)
    coefficients.set(name, value / length)
  }
  if (isOnSlantedLine(readings)) for (const name of ['wedgeX', 'wedgeY'] as const) coefficients.delete(name)
  const df = readings.length - estimable.length
  const residualStandardDeviation = df > 0 ? Math.sqrt(dot(residual, residual) / df) : null
  return {
    shape: relativeShape(coefficients, residualStandardDeviation),
    residualStandardDeviation,
    df,
    residuals: residual,
  }
}

/**
 * Whether the sites lie on a line through the centre other than along x or y: how the film rises along it is then
 * fitted, but not how much of that is to the right and how much up.
 */
function isOnSlantedLine(readings: readonly SiteReading[]): boolean {
  const line = centreLine(readings)
  return line !== null && Math.min(Math.abs(line.x), Math.abs(line.y)) > leastOwnShare
}

function relativeShape(coefficients: Map<TermName, number>, residual: number | null): FilmShape {
  const constant = coefficients.get('constant')
  // Nothing is a share of a mean that is not above 0, as one slip of the decimal sign can make it.
  if (constant === undefined || constant <= 0) return noShape
  const relative = (name: TermName) => {
    const value = coefficients.get(name)
    return value === undefined ? null : value / constant
  }
  const wedgeX = relative('wedgeX')
  const wedgeY = relative('wedgeY')
  const both = wedgeX !== null && wedgeY !== null
  return {
    bowl: relative('bowl'),
    ring: relative('ring'),
    wedgeX,
    wedgeY,
    rest: residual === null ? null : residual / constant,
    wedge: both ? Math.hypot(wedgeX, wedgeY) : null,
    wedgeDirection: both ? direction(wedgeX, wedgeY) : null,
  }
}

/** Degrees counter-clockwise from +x, 0 ≤ d < 360; null where there is no wedge to have one. */
function direction(x: number, y: number): number | null {
  if (x === 0 && y === 0) return null
  const degrees = (Math.atan2(y, x) * 180) / Math.PI
  // A tiny negative angle plus 360 rounds to 360 itself.
  return degrees < 0 ? (degrees + 360) % 360 : degrees + 0
}

const dot = (a: readonly number[], b: readonly number[]) =>
  a.reduce((sum, value, i) => sum + value * (b[i] as number), 0)
