import type { DesignPoint } from './design-point.ts'

/** A design that is settled but not yet made: its size is known before its points are. */
export type DrawnDesign = {
  /** Runs of one replicate, without centre points and without runs already made. */
  size: number
  /** Makes one replicate, in standard order. */
  points: () => DesignPoint[]
  /** What the design is, in a sentence or two; empty where its name says it all. */
  words: string
}
