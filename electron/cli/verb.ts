import type { Answer, Problem } from '../../shared/problem.ts'
import type { Given, OptionSpecs } from './options.ts'

/** What a verb ends with: what `--json` prints, what is printed otherwise, and the exit code. */
export type Outcome = {
  exit: 0 | 1
  /** Undefined where the verb has printed its document already. */
  json: unknown
  text: string
  /** Messages for standard error, before what was found. */
  notes?: string[]
  /** Messages for standard error, behind what was found. */
  reminders?: string[]
}

/** One verb of the command line. */
export type Verb = {
  name: string
  /** What it does, in a line. */
  summary: string
  operands: string[]
  options: OptionSpecs
  /** Grammar and examples below the options. */
  more?: string
  run(given: Given): Promise<Answer<Outcome>>
  /** The JSON document of a refusal, where it is not the list of problems. */
  refusal?: (problems: Problem[]) => unknown
}

/** Problems that mean ‘no answer to this question’ (exit 1) rather than ‘bad input’ (exit 2). */
const noAnswer = new Set([
  'didNotConverge',
  'tooFewRuns',
  'fewerRunsThanTerms',
  'noDegreesOfFreedom',
  'notEstimable',
  'exactFit',
  'noSurface',
  'outOfReach',
  'targetNotReached',
  'noStep',
  'traceTooShort',
  'noReload',
  'tooFewReadings',
  'noLimits',
])

/** The exit code of a refusal. */
export function exitOf(problems: Problem[]): 1 | 2 {
  return problems.length > 0 && problems.every((problem) => noAnswer.has(problem.code)) ? 1 : 2
}

/** A problem in one line, with its place. */
export function inWords(problem: Problem): string {
  const place = [
    problem.row === undefined ? '' : `row ${problem.row}`,
    problem.column === undefined || problem.message.includes(problem.column) ? '' : problem.column,
  ].filter((part) => part !== '' && !problem.message.toLowerCase().includes(part.toLowerCase()))
  return place.length > 0 ? `${place.join(', ')}: ${problem.message}` : problem.message
}
