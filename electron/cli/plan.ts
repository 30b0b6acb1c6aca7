import { designKinds } from '../../shared/contract/choices.ts'
import type { Plan } from '../../shared/contract/results/plan.ts'
import { readingTimes, visitOrders } from '../../shared/contract/things.ts'
import { makePlan } from '../../shared/design/make-plan.ts'
import { shortOfHigh } from '../../shared/design/short-of-high.ts'
import { good } from '../../shared/problem.ts'
import { referenceSettings } from '../../shared/process/reference-settings.ts'
import { studyDefaults } from '../../shared/study-defaults.ts'
import { writeTo } from '../write-file.ts'
import { usualBench } from './bench.ts'
import { factorGrammar } from './factor-option.ts'
import { rehearsalInWords, rehearsalOf, rehearsalOptions } from './plan-rehearsal.ts'
import { planSettings } from './plan-settings.ts'
import { planInWords } from './plan-tables.ts'
import { runTableCsv } from './run-table.ts'
import { inWords, type Verb } from './verb.ts'

/** `evenfilm plan`: a design with its run order, what it can tell and what it costs. */
export const plan: Verb = {
  name: 'plan',
  summary: 'makes a design: the runs in order, what they can tell, what they cost',
  operands: [],
  options: {
    factor: { value: '…', help: 'a factor and its range or levels', repeat: true, required: true },
    design: { value: designKinds.join('|'), help: 'the kind of design (full)' },
    fraction: { value: '"d=a.b.c"', help: 'generators of a fraction, or of the cube of a composite' },
    star: { value: 'face|rotatable|spherical', help: 'how far the star points of a composite stand (face)' },
    model: {
      value: 'FORMULA',
      help: 'the model to judge it by, and to make an optimal one for, in coded factors',
    },
    runs: { value: 'N', help: 'runs of a space-filling or optimal design, or of a fraction' },
    criterion: { value: 'D|I', help: 'optimal: narrow the coefficients (D) or the predictions (I); D' },
    forbid: { value: '"bake > 105 and time > 40"', help: 'full, optimal: combinations to leave out' },
    keep: { value: 'FILE', help: 'optimal, space: CSV of runs already made, which the plan completes' },
    visits: {
      value: 'N|auto',
      help: 'plate visits in all (one a level and block; optimal: auto, which compares numbers of visits)',
    },
    'variance-ratio': { value: 'R', help: 'variance between plate visits over that between runs (1)' },
    'visit-order': {
      value: visitOrders.join('|'),
      help: 'plate visits by chance, or with the least waiting (random)',
    },
    sessions: {
      value: '1|2|3',
      help: 'sessions over which the runs are spread, so that the day can be estimated',
    },
    reference: { help: 'a wafer by the usual recipe first and last in each session' },
    slot: {
      value: 'HOURS',
      help: 'what is booked for each session; says what to drop where it does not fit',
    },
    reading: {
      value: readingTimes.join('|'),
      help: 'when films are read: after the last coat, by a second person meanwhile, or later, out of the slot (after)',
    },
    start: { value: 'HH:MM', help: 'when a session begins, to show when it ends' },
    'plate-start': {
      value: 'DEGC|set',
      help: 'temperature of the plate when a session begins (21), or set: hot and soaked by then',
    },
    bottle: { value: 'ML', help: 'resist in the bottle, to show what is left of it' },
    replicates: { value: 'N', help: 'how often the whole design is run (1)' },
    centre: { value: 'N', help: 'centre points: first, last and evenly between (0)' },
    blocks: { value: 'N', help: 'blocks, such as days (1)' },
    sigma: { value: 'SHARE', help: 'scatter of a run, such as 0.5%, to show effects in percent' },
    power: { value: 'P', help: 'chance to find the smallest effect shown (0.8)' },
    seed: { value: 'N', help: 'starts the random order; the same seed gives the same plan (1)' },
    csv: { value: 'FILE', help: 'writes the run table' },
    ...rehearsalOptions,
  },
  more: factorGrammar,
  async run(given) {
    const asked = planSettings(given)
    if (!asked.ok) return asked
    const { factors, design, booked } = asked.value
    const bench = { ...usualBench(), ...booked }
    const reference = referenceSettings(studyDefaults, factors)
    const made = makePlan({ factors, design, bench, reference })
    if (!made.ok) return made
    const rehearsed = rehearsalOf(given, made.value)
    if (!rehearsed.ok) return rehearsed
    const file = given.text('csv')
    if (file !== null) {
      const written = writeTo(file, runTableCsv(made.value))
      if (!written.ok) return written
    }
    return good({
      exit: 0,
      json: {
        ...shapeOf(made.value),
        ...(rehearsed.value === null ? {} : { rehearsal: rehearsed.value }),
      },
      text: [planInWords(made.value, design), ...rehearsalInWords(rehearsed.value)].join('\n\n'),
      notes: [
        ...shortOfHigh(made.value.factors).map(inWords),
        ...(file === null ? [] : [`${made.value.runs.length} runs written to ${file}.`]),
      ],
    })
  },
}

/** The plan as `--json` prints it: what is only for the page is left out. */
function shapeOf(plan: Plan) {
  const { seed, factors, runs, evaluation, budget, timeline, minutesSaved, waysToFit, visitChoices } = plan
  const { residualDf, pureErrorDf, ...judged } = evaluation
  const { plateMinutes, firstHeatMinutes, ...cost } = budget
  return {
    seed,
    factors,
    runs,
    evaluation: judged,
    budget: cost,
    timeline,
    minutesSaved,
    waysToFit,
    ...(visitChoices === undefined ? {} : { visitChoices }),
  }
}
