import type { Choice } from '../../../shared/contract/results/next.ts'

/** What each kind of choice is good for. */
export const aimWords: Record<Choice['aim'], { title: string; words: string }> = {
  reach: { title: 'Most likely in tolerance', words: 'To have the film you need now.' },
  learn: { title: 'Teaches most', words: 'To narrow the fit over the whole region.' },
  both: { title: 'Weighs both', words: 'To come nearer the target and learn on the way.' },
}
