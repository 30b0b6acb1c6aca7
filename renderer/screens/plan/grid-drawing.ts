import { withUnit } from '../../../shared/charts/format.ts'
import type { PlannedRun } from '../../../shared/contract/results/plan.ts'
import type { Factor, Settings } from '../../../shared/contract/things.ts'
import { codeSettings } from '../../../shared/design/code.ts'

type Point = { x: number; y: number }
/** A run as it is drawn: planned, or made already. */
export type DrawnRun = Pick<PlannedRun, 'kind' | 'coded' | 'settings'> & { name: string; made: boolean }

/** Runs at one place. A place at which some are made and others planned has a mark of each. */
export type GridMark = Point & {
  kind: 'grid' | 'centre' | 'made' | 'next'
  runs: number
  /** Their names, in their order. */
  names: string[]
  /** What they have in common. */
  settings: Settings
  near: number
}
export type GridAxis = {
  name: string
  anchor: 'left' | 'center' | 'right'
  at: Point
  low: Point
  high: Point
  lowText: string
  highText: string
}
export type GridDrawing = {
  /** Edges of the region; those behind it are drawn lighter. */
  edges: { from: Point; to: Point; behind: boolean }[]
  axes: GridAxis[]
  marks: GridMark[]
  /** Factors that the drawing cannot show. */
  leftOut: string[]
  /** Marks at which runs differ in such a factor. */
  merged: number
  /** Marks that one nearer to the eye overlaps. */
  covered: number
}

/** Marks nearer to each other than this overlap, in half edges of the region. */
const overlap = 0.14

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
export function drawGrid(factors: readonly Factor[], runs: readonly DrawnRun[]): GridDrawing {
  const drawn = factors.slice(0, 3)
  const flat = drawn.length < 3
  const placed = (values: number[]): Place =>
    flat ? [values[0] ?? 0, 0, values[1] ?? 0] : [values[0] ?? 0, values[1] ?? 0, values[2] ?? 0]

  const groups = new Map<string, { place: Place; kind: GridMark['kind']; runs: DrawnRun[] }>()
  for (const run of runs) {
    const place = placed(drawn.map((factor) => codedPlace(factor, run.coded[factor.name])))
    const kind = run.made ? 'made' : run.kind === 'next' ? 'next' : run.kind === 'centre' ? 'centre' : 'grid'
    const key = [kind, ...place.map((value) => value.toFixed(4))].join(' ')
    const group = groups.get(key) ?? { place, kind, runs: [] }
    group.runs.push(run)
    groups.set(key, group)
  }
  const marks = [...groups.values()].map(({ place, kind, runs: here }): GridMark => {
    const { x, y, depth } = project(place, flat)
    const names = here.map(({ name }) => name)
    return { x, y, kind, runs: here.length, names, settings: commonOf(here), near: -depth }
  })
  marks.sort((one, other) => one.near - other.near)

  return {
    edges: edgesOf(drawn.length, flat),
    axes: drawn.map((factor, i) => axisOf(factor, i, flat)),
    marks,
    leftOut: factors.slice(3).map((factor) => factor.name),
    merged: marks.filter(({ settings }) => factors.some(({ name }) => settings[name] === undefined)).length,
    covered: marks.filter((mark, i) => marks.slice(i + 1).some((nearer) => covers(nearer, mark))).length,
  }
}

/** Two marks at one place are drawn within each other, so that both are seen. */
function covers(nearer: Point, mark: Point): boolean {
  const distance = Math.hypot(nearer.x - mark.x, nearer.y - mark.y)
  return distance > 1e-9 && distance < overlap
}

function commonOf(runs: readonly DrawnRun[]): Settings {
  const [first, ...others] = runs
  const same = Object.entries(first?.settings ?? {}).filter(([name, value]) =>
    others.every(({ settings }) => settings[name] === value),
  )
  return Object.fromEntries(same)
}

/** The runs of a plan, by their place in its order. */
export function runsOfPlan(runs: readonly PlannedRun[]): DrawnRun[] {
  return runs.map((run) => ({ ...run, name: String(run.runOrder), made: false }))
}

/**
 * Runs of the study to draw within a region: those with a setting of every factor that lie in it or near it, and how many
 * do not.
 */
export function runsInRegion<R extends { code: string; kind: PlannedRun['kind']; settings: Settings }>(
  factors: readonly Factor[],
  runs: readonly R[],
  isMade: (run: R) => boolean,
): { runs: DrawnRun[]; outside: number } {
  const drawn = runs.flatMap((run): DrawnRun[] => {
    if (!factors.every((factor) => canBeCoded(factor, run.settings[factor.name]))) return []
    const coded = codeSettings(factors, run.settings)
    if (Object.values(coded).some((value) => typeof value === 'number' && Math.abs(value) > 1.3)) return []
    return [{ name: run.code, kind: run.kind, made: isMade(run), coded, settings: run.settings }]
  })
  return { runs: drawn, outside: runs.length - drawn.length }
}

function canBeCoded(factor: Factor, setting: number | string | undefined): boolean {
  return factor.kind === 'categorical'
    ? factor.levelNames.includes(String(setting))
    : typeof setting === 'number' && (factor.scale !== 'log' || setting > 0)
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
    name: withUnit(factor.name, factor.unit),
    anchor: upright ? 'right' : index === 1 ? 'left' : 'center',
    at: upright
      ? moved(to, -0.05, -0.24)
      : index === 1
        ? moved(middle, 0.16, 0.2)
        : moved(middle, flat ? 0 : -0.35, flat ? 0.46 : 0.62),
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
