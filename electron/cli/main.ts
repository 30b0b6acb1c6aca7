import { readFileSync } from 'node:fs'
import { distributionsReady } from '../../shared/model/distributions.ts'
import type { Problem } from '../../shared/problem.ts'
import { check } from './check.ts'
import { compare } from './compare.ts'
import { demo } from './demo.ts'
import { exportRuns } from './export.ts'
import { film } from './film.ts'
import { fit } from './fit.ts'
import { generalHelp, verbHelp } from './help.ts'
import { importFile } from './import.ts'
import { next } from './next.ts'
import { commonOptions, readOptions } from './options.ts'
import { plan } from './plan.ts'
import { serve } from './serve.ts'
import { trace } from './trace.ts'
import { exitOf, inWords, type Verb } from './verb.ts'

const verbs: readonly Verb[] = [
  plan,
  check,
  film,
  trace,
  fit,
  next,
  compare,
  importFile,
  exportRuns,
  serve,
  demo,
]

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
    if (name === undefined) error(generalHelp(verbs))
    else print(generalHelp(verbs))
    return name === undefined ? 2 : 0
  }
  const verb = verbs.find((one) => one.name === name)
  if (verb === undefined) {
    const message = `‘${name}’ is no verb of evenfilm. The verbs are ${verbs.map((one) => one.name).join(', ')}.`
    return refused([{ code: 'unknownVerb', message }], json, undefined)
  }
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
  await distributionsReady
  const outcome = await verb.run(given.value)
  if (!outcome.ok) return refused(outcome.problems, json, verb)
  for (const note of outcome.value.notes ?? []) error(note)
  if (!json) print(outcome.value.text)
  else if (outcome.value.json !== undefined) print(JSON.stringify(outcome.value.json, null, 2))
  return outcome.value.exit
}

function refused(problems: Problem[], json: boolean, verb: Verb | undefined): number {
  for (const problem of problems) error(`evenfilm: ${inWords(problem)}`)
  if (json) print(JSON.stringify(verb?.refusal?.(problems) ?? { problems }, null, 2))
  return exitOf(problems)
}

function versionOf(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8')
  return (JSON.parse(text) as { version: string }).version
}

function print(text: string): void {
  if (text !== '') process.stdout.write(`${text}\n`)
}

function error(text: string): void {
  process.stderr.write(`${text}\n`)
}
