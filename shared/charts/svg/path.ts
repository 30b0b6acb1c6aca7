import { type Affine, moved, scaleOf } from './affine.ts'

/** A hundredth of a px is finer than any screen or printer shows. */
export const rounded = (value: number) => String(Number(value.toFixed(2)))

/** A path as the 2D canvas builds it: each point is put through the transform of the moment when it is given. */
export class Path {
  private steps: string[] = []
  private last: [number, number] | null = null
  private start: [number, number] | null = null

  get empty() {
    return this.steps.length === 0
  }

  moveTo(transform: Affine, x: number, y: number) {
    this.start = [x, y]
    this.step('M', transform, [[x, y]])
  }

  lineTo(transform: Affine, x: number, y: number) {
    if (this.last === null) this.moveTo(transform, x, y)
    else this.step('L', transform, [[x, y]])
  }

  /** A cubic curve by its two control points and its end. */
  curveTo(transform: Affine, ...points: [[number, number], [number, number], [number, number]]) {
    if (this.last === null) this.moveTo(transform, ...points[0])
    this.step('C', transform, points)
  }

  /** A quadratic curve by its control point and its end. */
  bendTo(transform: Affine, ...points: [[number, number], [number, number]]) {
    if (this.last === null) this.moveTo(transform, ...points[0])
    this.step('Q', transform, points)
  }

  close() {
    if (this.empty) return
    this.steps.push('Z')
    this.last = this.start
  }

  rectangle(transform: Affine, x: number, y: number, width: number, height: number) {
    this.moveTo(transform, x, y)
    this.lineTo(transform, x + width, y)
    this.lineTo(transform, x + width, y + height)
    this.lineTo(transform, x, y + height)
    this.close()
  }

  /**
   * A circular arc, begun with a straight line from where the path stands. A full turn is two half circles, because
   * SVG draws nothing from a point to itself. Angles in radians, clockwise on the screen unless `backwards`.
   */
  arc(
    transform: Affine,
    {
      x,
      y,
      radius,
      from,
      to,
      backwards,
    }: {
      x: number
      y: number
      radius: number
      from: number
      to: number
      backwards: boolean
    },
  ) {
    const turn = 2 * Math.PI
    const way = backwards ? from - to : to - from
    const sweep = Math.abs(way) >= turn - 1e-9 ? turn : ((way % turn) + turn) % turn
    const at = (share: number): [number, number] => {
      const angle = from + (backwards ? -1 : 1) * sweep * share
      return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)]
    }
    this.lineTo(transform, ...at(0))
    if (sweep === 0 || radius === 0) return
    const long = radius * scaleOf(transform)
    // A mirroring transform turns the direction of the sweep around.
    const mirrored = transform[0] * transform[3] - transform[1] * transform[2] < 0
    const clockwise = backwards === mirrored ? 1 : 0
    for (const share of sweep > Math.PI ? [0.5, 1] : [1]) {
      const [endX, endY] = moved(transform, ...at(share))
      this.steps.push(`A${rounded(long)} ${rounded(long)} 0 0 ${clockwise} ${rounded(endX)} ${rounded(endY)}`)
    }
    this.last = at(1)
  }

  /** As the attribute `d` of an SVG path. */
  toString() {
    return this.steps.join('')
  }

  private step(letter: string, transform: Affine, points: [number, number][]) {
    const places = points.map(([x, y]) => moved(transform, x, y).map(rounded).join(' '))
    this.steps.push(letter + places.join(' '))
    this.last = points.at(-1) ?? null
  }
}
