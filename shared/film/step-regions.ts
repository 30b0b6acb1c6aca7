import type { StepHeight } from '../contract/results/trace.ts'

export type Region = [number, number]
export type StepRegions = StepHeight['regions']
/** A groove or ridge has two edges; a single edge, such as a wiped rim, has one transition. */
export type StepKind = 'step' | 'edge'
/** Where the step lies: its two edges, or for a single edge where the transition begins and ends, µm. */
export type StepPlace = { kind: StepKind; edges: Region }

/**
 * The parts of a trace that are evaluated. Of a groove or ridge of width W, after ISO 5436-1:2000, type A1: outside
 * from a third of the width beyond each edge to a full width, within the middle third. Of a single edge, for which
 * that standard has nothing: equally long parts on both sides of the transition, as long as the trace allows.
 *
 * @param ends first and last position of the trace, µm
 */
export function stepRegions({ kind, edges }: StepPlace, ends: Region): StepRegions {
  const [from, to] = edges
  const [first, last] = ends
  if (kind === 'edge') {
    const reach = Math.max(0, Math.min(from - first, last - to))
    return { left: [from - reach, from], middle: null, right: [to, to + reach] }
  }
  const width = to - from
  const centre = (from + to) / 2
  return {
    left: [Math.max(first, centre - (3 * width) / 2), centre - (5 * width) / 6],
    middle: [centre - width / 6, centre + width / 6],
    right: [centre + (5 * width) / 6, Math.min(last, centre + (3 * width) / 2)],
  }
}

/**
 * Other regions that a careful person might have taken as well: both edges 5 % of the width to either side, the width
 * 10 % smaller and larger, the near and the far three quarters of the outer parts. Those of a single edge only ever
 * keep further away from the transition. The shares are chosen by us.
 */
export function otherRegions(place: StepPlace, ends: Region): StepRegions[] {
  const [from, to] = place.edges
  const usual = stepRegions(place, ends)
  const moved = (left: number, right: number) =>
    stepRegions({ kind: place.kind, edges: [from + left, to + right] }, ends)
  const parts = [nearPart(usual), farPart(usual)]
  if (place.kind === 'edge') {
    const reach = usual.right[1] - usual.right[0]
    return [moved(-0.1 * reach, 0), moved(0, 0.1 * reach), moved(-0.1 * reach, 0.1 * reach), ...parts]
  }
  const width = to - from
  const twentieth = 0.05 * width
  return [
    moved(-twentieth, -twentieth),
    moved(twentieth, twentieth),
    moved(twentieth, -twentieth),
    moved(-twentieth, twentieth),
    ...parts,
  ]
}

function nearPart({ left, middle, right }: StepRegions): StepRegions {
  const quarter = (region: Region) => (region[1] - region[0]) / 4
  return {
    left: [left[0] + quarter(left), left[1]],
    middle,
    right: [right[0], right[1] - quarter(right)],
  }
}

function farPart({ left, middle, right }: StepRegions): StepRegions {
  const quarter = (region: Region) => (region[1] - region[0]) / 4
  return {
    left: [left[0], left[1] - quarter(left)],
    middle,
    right: [right[0] + quarter(right), right[1]],
  }
}
