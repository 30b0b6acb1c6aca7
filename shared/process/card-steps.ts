import { plainNumber } from '../charts/format.ts'
import type { CardStep, Run, Study } from '../contract/things.ts'
import type { RunProgram } from './run-program.ts'

const step = (name: string, shows: CardStep['shows'] = 'nothing'): CardStep => ({
  name,
  minutes: null,
  note: '',
  shows,
})

/** What is done to one substrate, in the order of the work (trade practice); a study and a run may change it. */
export const usualSteps: CardStep[] = [
  step('Dehydration bake'),
  step('Cool'),
  step('Adhesion promoter'),
  step('Dispense', 'dispense'),
  step('Spin', 'program'),
  step('Edge bead removal'),
  step('Soft bake', 'bake'),
  step('Cool after the bake'),
  step('Measure', 'sites'),
]

/** The steps of a run: its own, or those of the study. */
export function stepsOf(run: Pick<Run, 'steps'>, study: Pick<Study, 'steps'>): CardStep[] {
  return run.steps ?? study.steps
}

/** What stands in the checked list beside the name of a step: what the run sets, its minutes, its note. */
export function stepInWords(
  { shows, minutes, note }: CardStep,
  card: {
    program: RunProgram['program']
    bake: { display: number; surface: number; time: number }
    coatMl: number
    sites: number
  },
): string {
  const { bake } = card
  const shown = {
    nothing: '',
    dispense: `${plainNumber(card.coatMl)} mL`,
    program: card.program
      .map(({ rpm, time }) => `${plainNumber(rpm)} rpm ${plainNumber(time)} s`)
      .join(', then '),
    bake: `${plainNumber(bake.display)} °C display, ${plainNumber(bake.surface)} °C surface, ${plainNumber(bake.time)} s`,
    sites: `${card.sites} sites`,
  }[shows]
  return [shown, minutes === null ? '' : `${plainNumber(minutes)} min`, note].filter(Boolean).join('; ')
}

/** Steps that cannot be told apart when they are checked off, by name. */
export function repeatedSteps(steps: readonly CardStep[]): string[] {
  const names = steps.map(({ name }) => name)
  return [...new Set(names.filter((name, i) => names.indexOf(name) !== i))]
}
