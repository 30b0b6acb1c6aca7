import { readFileSync } from 'node:fs'
import { inBrief, type Problem } from '../../shared/problem.ts'
import { generalHelp, verbHelp } from './help.ts'
import { commonOptions, readOptions } from './options.ts'
import { shownJson, shownLines, shownText } from './shown-text.ts'
import { exitOf, inWords, type Verb } from './verb.ts'

/** The verbs, in the order of the work; each is loaded when it is called. */
const verbs: Record<string, () => Promise<Verb>> = {
  plan: async () => (await import('./plan.ts')).plan,
  check: async () => (await import('./check.ts')).check,
  film: async () => (await import('./film.ts')).film,
  trace: async () => (await import('./trace.ts')).trace,
  gauge: async () => (await import('./gauge.ts')).gauge,
  fit: async () => (await import('./fit.ts')).fit,
  next: async () => (await import('./next.ts')).next,
  compare: async () => (await import('./compare.ts')).compare,
  drift: async () => (await import('./drift.ts')).drift,
  import: async () => (await import('./import.ts')).importFile,
  export: async () => (await import('./export.ts')).exportRuns,
  bring: async () => (await import('./bring.ts')).bring,
  backup: async () => (await import('./backup.ts')).backup,
  verify: async () => (await import('./verify.ts')).verify,
  report: async () => (await import('./report.ts')).report,
  serve: async () => (await import('./serve.ts')).serve,
  demo: async () => (await import('./demo.ts')).demo,
}

/**
 * Runs one command of the command line.
 *
 * @returns the exit code: 0 an answer, 1 no answer, 2 bad input or option, 70 a defect of the program
 */
export async function main(args: string[]): Promise<number> {
  try {
    return await dispatch(args)
  } catch (defect) {
    const message = defect instanceof Error ? defect.message : String(defect)
    error(`evenfilm: a defect of the program: ${message.split('\n')[0]}`)
    return 70
  }
}

async function dispatch(args: string[]): Promise<number> {
  const [name, ...rest] = args
  const json = args.includes('--json')
  if (name === '--version') {
    print(versionOf())
    return 0
  }
  if (name === undefined || name === '--help' || name === 'help') {
    const help = generalHelp(await Promise.all(Object.values(verbs).map((load) => load())))
    if (name !== undefined) print(help)
    else error(help)
    return name === undefined ? 2 : 0
  }
  if (!Object.hasOwn(verbs, name)) {
    const message = `‘${name}’ is no verb of evenfilm. The verbs are ${Object.keys(verbs).join(', ')}.`
    return refused([{ code: 'unknownVerb', message }], json, undefined)
  }
  const verb = await (verbs[name] as () => Promise<Verb>)()
  const given = readOptions(rest, {
    verb: verb.name,
    specs: { ...verb.options, ...commonOptions },
    operands: verb.operands,
  })
  if (!given.ok) return refused(given.problems, json, verb)
  if (given.value.has('help')) {
    print(verbHelp(verb))
    return 0
  }
  const { distributionsReady } = await import('../../shared/model/distributions.ts')
  await distributionsReady
  const outcome = await verb.run(given.value)
  if (!outcome.ok) return refused(outcome.problems, json, verb)
  for (const note of outcome.value.notes ?? []) error(shownText(note))
  if (!json) print(outcome.value.text)
  else if (outcome.value.json !== undefined) printJson(outcome.value.json)
  for (const reminder of outcome.value.reminders ?? []) error(shownText(reminder))
  return outcome.value.exit
}

function refused(all: Problem[], json: boolean, verb: Verb | undefined): number {
  const problems = inBrief(all)
  for (const problem of problems) error(shownText(`evenfilm: ${inWords(problem)}`))
  if (json) printJson(verb?.refusal?.(problems) ?? { problems })
  return exitOf(problems)
}

function versionOf(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8')
  return (JSON.parse(text) as { version: string }).version
}

function print(text: string): void {
  if (text !== '') process.stdout.write(`${shownLines(text)}\n`)
}

function printJson(document: unknown): void {
  process.stdout.write(`${shownJson(document)}\n`)
}

function error(text: string): void {
  process.stderr.write(`${shownLines(text)}\n`)
}
