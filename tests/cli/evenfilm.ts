import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { expect, onTestFinished, vi } from 'vitest'
import { z } from 'zod'
import { main } from '../../electron/cli/main.ts'
import { problem } from '../../shared/contract/results/problem.ts'

const root = resolve(import.meta.dirname, '../..')
const node = join(root, 'node_modules/.bin/node')

/** Published data that the command line is run on. */
export const data = (name: string) => join(root, 'tests/data', name)

export type Ended = { exit: number | null; stdout: string; stderr: string }

/** Runs one command of the command line as a process of its own. */
export function evenfilm(args: string[], options: { node?: string[] } = {}): Promise<Ended> {
  return new Promise((done, fail) => {
    const child = spawn(node, [...(options.node ?? []), join(root, 'electron/cli.ts'), ...args], {
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    const ended = { stdout: '', stderr: '' }
    for (const stream of ['stdout', 'stderr'] as const)
      child[stream].setEncoding('utf8').on('data', (text: string) => {
        ended[stream] += text
      })
    child.on('error', fail)
    child.on('close', (exit) => done({ exit, ...ended }))
  })
}

/** A command that goes on until it is stopped: what it printed up to a pattern, and its exit code once stopped. */
export function evenfilmUntil(
  args: string[],
  pattern: RegExp,
): { seen: Promise<string>; stop(): Promise<number | null> } {
  const child = spawn(node, [join(root, 'electron/cli.ts'), ...args], { stdio: ['ignore', 'pipe', 'ignore'] })
  const ended = new Promise<number | null>((done) => child.on('close', done))
  onTestFinished(() => void child.kill('SIGKILL'))
  return {
    seen: new Promise((done, fail) => {
      let text = ''
      child.stdout.setEncoding('utf8').on('data', (more: string) => {
        text += more
        if (pattern.test(text)) done(text)
      })
      child.on('close', () => fail(new Error(`ended after ‘${text}’`)))
    }),
    stop() {
      child.kill('SIGTERM')
      return ended
    },
  }
}

/** The same without a process of its own, for the many small questions. */
export async function evenfilmHere(args: string[]): Promise<Ended> {
  const ended = { stdout: '', stderr: '' }
  const caught = (['stdout', 'stderr'] as const).map((stream) =>
    vi.spyOn(process[stream], 'write').mockImplementation((text) => {
      ended[stream] += String(text)
      return true
    }),
  )
  try {
    const exit = await main(args)
    return { exit, ...ended }
  } finally {
    for (const spy of caught) spy.mockRestore()
  }
}

/**
 * The one JSON document on standard output, which must have exactly the keys of the schema at every depth:
 * parsing takes out what the schema does not name.
 */
export function documentOf<S extends z.ZodType>(ended: Ended, schema: S): z.output<S> {
  const document: unknown = JSON.parse(ended.stdout)
  const parsed = schema.parse(document)
  expect(document).toEqual(parsed)
  return parsed
}

/** A command that must be answered, as JSON of a schema. */
export async function answerOf<S extends z.ZodType>(args: string[], schema: S): Promise<z.output<S>> {
  const ended = await evenfilmHere([...args, '--json'])
  expect(ended.stderr).not.toMatch(/defect/)
  expect(ended.exit).toBe(0)
  return documentOf(ended, schema)
}

/** A command that must be refused: its exit code and the codes of its problems. */
export async function refusalOf(
  args: string[],
): Promise<{ exit: number | null; codes: string[]; text: string }> {
  const ended = await evenfilmHere([...args, '--json'])
  const { problems } = documentOf(ended, z.strictObject({ problems: z.array(problem) }))
  expect(ended.stderr).toContain(problems[0]?.message ?? 'a message')
  return {
    exit: ended.exit,
    codes: problems.map(({ code }) => code),
    text: problems.map(({ message }) => message).join('\n'),
  }
}

/** An empty folder for one test. */
export function folder(): string {
  const path = mkdtempSync(join(tmpdir(), 'evenfilm-cli-'))
  onTestFinished(() => rmSync(path, { recursive: true }))
  return path
}

/** A file with this text for one test. */
export function fileWith(text: string | Uint8Array, name = 'table.csv'): string {
  const path = join(folder(), name)
  writeFileSync(path, text)
  return path
}
