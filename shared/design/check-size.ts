import type { DesignSettings, Factor } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import type { DrawnDesign } from './drawn-design.ts'

/** The largest plan; more is refused, since nobody coats it and a slip of the finger makes it. */
const mostRuns = 500

/** What keeps a design from being run as it is: its size, its centre, its blocks; null where nothing does. */
export function checkSize(
  factors: readonly Factor[],
  design: DesignSettings,
  drawn: DrawnDesign,
  kept: number,
  forbiddenCentre: boolean,
): Problem | null {
  const count = drawn.size * design.replicates + design.centre + kept
  if (count > mostRuns)
    return {
      code: 'tooManyRuns',
      message:
        `This plan would have ${count} runs; at most ${mostRuns} can be planned. ` +
        'Take fewer factors, levels or replicates, or a design that leaves combinations out.',
    }
  if (design.centre > 0 && factors.every((factor) => factor.kind === 'categorical'))
    return {
      code: 'noCentre',
      message: 'Centre points need at least one factor with a range: levels by name have no middle.',
      column: 'centre',
    }
  if (forbiddenCentre)
    return {
      code: 'centreLeftOut',
      message: 'The centre is among the combinations to leave out. Plan no centre points, or allow it.',
      column: 'centre',
    }
  if (design.blocks > 1 && design.blocks * 2 > count - kept)
    return {
      code: 'tooManyBlocks',
      message: `${count - kept} runs do not fill ${design.blocks} blocks with at least 2 runs each. Take fewer blocks.`,
      column: 'blocks',
    }
  if (design.blocks % (design.sessions ?? 1) !== 0)
    return {
      code: 'blocksOfSessions',
      message:
        `${design.blocks} blocks cannot be dealt out evenly among ${design.sessions} sessions. ` +
        'Take a multiple of the sessions, or 1 to make each session a block.',
      column: 'blocks',
    }
  return null
}
