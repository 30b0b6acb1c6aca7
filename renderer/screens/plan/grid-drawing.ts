import type { PlannedRun } from '../../../shared/contract/results/plan.ts'
import type { Factor } from '../../../shared/contract/things.ts'

type Point = { x: number; y: number }
export type GridMark = Point & { kind: 'grid' | 'centre'; runs: number; near: number; words: string }
export type GridAxis = { name: string; at: Point; low: Point; high: Point; lowText: string; highText: string }
export type GridDrawing = {
  /** Edges of the region; those behind it are drawn lighter. */
  edges: { from: Point; to: Point; behind: boolean }[]
  axes: GridAxis[]
  marks: GridMark[]
  /** Factors that the drawing cannot show. */
  leftOut: string[]
}

type Place = [number, number, number]

/** Turned and tilted so far that no two of 27 grid points cover each other. */
const turn = 0.5
const tilt = 0.36

/** The region's middle is at (0, 0), half an edge of it is 1; y grows downwards as on the screen. */
function project([x, y, z]: Place, flat: boolean): Point & { depth: number } {
  if (flat) return { x, y: -z, depth: 0 }
  const across = x * Math.cos(turn) + y * Math.sin(turn)
  const depth = y * Math.cos(turn) - x * Math.sin(turn)
  return { x: across, y: -(z * Math.cos(tilt) + depth * Math.sin(tilt)), depth }
}

/**
 * The runs of a plan in the space of its first three factors, as an axonometric drawing; in two dimensions
 * where there are two factors, on a line where there is one.
 */
export function drawGrid(factors: readonly Factor[], runs: readonly PlannedRun[]): GridDrawing {
  const drawn = factors.slice(0, 3)
  const flat = drawn.length < 3
  const placed = (values: number[]): Place =>
    flat ? [values[0] ?? 0, 0, values[1] ?? 0] : [values[0] ?? 0, values[1] ?? 0, values[2] ?? 0]

  const groups = new Map<string, { place: Place; runs: PlannedRun[] }>()
  for (const run of runs) {
    const place = placed(drawn.map((factor) => codedPlace(factor, run.coded[factor.name])))
    const key = place.map((value) => value.toFixed(4)).join(' ')
    const group = groups.get(key) ?? { place, runs: [] }
    group.runs.push(run)
    groups.set(key, group)
  }
  const marks = [...groups.values()].map(({ place, runs: here }) => {
    const { x, y, depth } = project(place, flat)
    const first = here[0] as PlannedRun
    const settings = drawn.map((factor) => `${factor.name} ${first.settings[factor.name]}`).join(', ')
    const kind: GridMark['kind'] = here.every((run) => run.kind === 'centre') ? 'centre' : 'grid'
    return { x, y, kind, runs: here.length, near: -depth, words: settings }
  })
  marks.sort((one, other) => one.near - other.near)

  return {
    edges: edgesOf(drawn.length, flat),
    axes: drawn.map((factor, i) => axisOf(factor, i, flat)),
    marks,
    leftOut: factors.slice(3).map((factor) => factor.name),
  }
}

/** −1…1 along the axis; named levels are spread evenly. */
function codedPlace(factor: Factor, coded: number | string | undefined): number {
  if (typeof coded === 'number') return coded
  const last = factor.levelNames.length - 1
  const index = factor.levelNames.indexOf(String(coded))
  return last < 1 || index < 0 ? 0 : (2 * index) / last - 1
}

function edgesOf(count: number, flat: boolean): GridDrawing['edges'] {
  const both = [-1, 1]
  const edge = (from: Place, to: Place, behind = false) => ({
    from: project(from, flat),
    to: project(to, flat),
    behind,
  })
  if (count === 0) return []
  if (count === 1) return [edge([-1, 0, 0], [1, 0, 0])]
  if (flat)
    return both.flatMap((side) => [edge([-1, 0, side], [1, 0, side]), edge([side, 0, -1], [side, 0, 1])])
  // The corner that is farthest away stands at low first, high second factor.
  return both.flatMap((one) =>
    both.flatMap((two) => [
      edge([-1, one, two], [1, one, two], one === 1 && two === -1),
      edge([one, -1, two], [one, 1, two], one === -1 && two === -1),
      edge([one, two, -1], [one, two, 1], one === -1 && two === 1),
    ]),
  )
}

/** Where the axis of a factor is written: along the near edges of the floor, and up the left edge. */
function axisOf(factor: Factor, index: number, flat: boolean): GridAxis {
  const upright = flat ? index === 1 : index === 2
  const ends: [Place, Place] = flat
    ? index === 0
      ? [
          [-1, 0, -1],
          [1, 0, -1],
        ]
      : [
          [-1, 0, -1],
          [-1, 0, 1],
        ]
    : index === 0
      ? [
          [-1, -1, -1],
          [1, -1, -1],
        ]
      : index === 1
        ? [
            [1, -1, -1],
            [1, 1, -1],
          ]
        : [
            [-1, -1, -1],
            [-1, -1, 1],
          ]
  const [from, to] = [project(ends[0], flat), project(ends[1], flat)]
  const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 }
  const moved = (point: Point, x: number, y: number): Point => ({ x: point.x + x, y: point.y + y })
  const names = factor.levelNames
  return {
    name: factor.unit ? `${factor.name} (${factor.unit})` : factor.name,
    at: upright
      ? moved(to, -0.05, -0.24)
      : index === 1
        ? moved(middle, 0.16, 0.2)
        : moved(middle, flat ? 0 : -0.35, 0.46),
    low: upright ? moved(from, -0.1, 0) : index === 1 ? moved(from, 0.16, 0.14) : moved(from, -0.05, 0.22),
    high: upright
      ? moved(to, -0.1, 0.03)
      : index === 1
        ? moved(to, 0.12, 0.08)
        : moved(to, flat ? 0 : -0.2, 0.24),
    lowText: factor.kind === 'categorical' ? (names[0] ?? '') : String(factor.low ?? ''),
    highText: factor.kind === 'categorical' ? (names.at(-1) ?? '') : String(factor.high ?? ''),
  }
}
