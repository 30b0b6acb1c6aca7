import type { Factor, RunKind, Settings } from '../contract/things.ts'
import { type CodedSettings, settle } from './code.ts'

/** One place of a design: coded values (or level names) in the order of the factors, before rounding. */
export type DesignPoint = {
  kind: RunKind
  coded: (number | string)[]
  /** Number of its visit, where the design itself shares its runs out over visits. */
  visit?: number
  /** Number of its block, from 1, where the design itself shares its runs out over blocks. */
  block?: number
}

/** A run before it has a place in the order. */
export type DraftRun = {
  standardOrder: number
  block: number
  kind: RunKind
  settings: Settings
  coded: CodedSettings
  /** Number of its visit in the design, where that settles it; the order of visits is drawn later. */
  visit?: number
}

/** A run with its place in the order, from 1, the visit to the hard-to-change setting, from 1, and its session. */
export type OrderedRun = Omit<DraftRun, 'visit'> & {
  runOrder: number
  plateVisit: number | null
  /** Its name; null where the plan leaves it open. */
  session: string | null
}

/** Rounds a design's places to what the tools can be set to and numbers them in standard order. */
export function draftRuns(
  factors: readonly Factor[],
  points: readonly DesignPoint[],
  firstNumber = 1,
): DraftRun[] {
  return points.map((point, i) => {
    const settled = factors.map((factor, f) => settle(factor, point.coded[f] as number | string))
    return {
      standardOrder: firstNumber + i,
      block: point.block ?? 1,
      kind: point.kind,
      settings: Object.fromEntries(factors.map((factor, f) => [factor.name, settled[f]!.setting])),
      coded: Object.fromEntries(factors.map((factor, f) => [factor.name, settled[f]!.coded])),
      ...(point.visit === undefined ? {} : { visit: point.visit }),
    }
  })
}

/** All combinations of one item from each list; the first list changes fastest (standard order). */
export function combinations<T>(lists: readonly (readonly T[])[]): T[][] {
  return lists.reduce<T[][]>((rows, list) => list.flatMap((item) => rows.map((row) => [...row, item])), [[]])
}
