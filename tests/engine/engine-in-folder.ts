import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, onTestFinished } from 'vitest'
import { startWorkers } from '../../electron/engine/compute/workers.ts'
import { type Engine, type EngineOptions, startEngine } from '../../electron/engine/engine.ts'
import { openStore } from '../../electron/engine/store/open.ts'
import { type Args, type CallName, contract, type Result } from '../../shared/contract.ts'
import type { Problem } from '../../shared/problem.ts'

/** A folder of its own for one test, gone when the test is over. */
export function testFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'evenfilm-test-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

export type TestEngine = {
  file: string
  engine: Engine
  /** The result of a call that must succeed, held against the contract. */
  ok<N extends CallName>(name: N, args: Args<N>): Promise<Result<N>>
  /** The problems of a call that must be refused. */
  refused(name: CallName, args: unknown): Promise<Problem[]>
}

/** Threads for all engines of one test file: starting them from source takes a while. */
const workers = startWorkers()

let empty: Buffer | undefined

/** A new database of one test: a copy of the first, since a copy is made in a tenth of the time. */
function newDatabase(): string {
  const file = join(testFolder(), 'test.db')
  if (empty) writeFileSync(file, empty)
  else {
    const made = openStore(file)
    if (!made.ok) throw new Error(made.problems[0]?.message)
    made.value.db.close()
    empty = readFileSync(file)
  }
  return file
}

/** An engine on a real database file, closed when the test is over. */
export async function testEngine(options: Partial<EngineOptions> = {}): Promise<TestEngine> {
  const file = options.databaseFile ?? newDatabase()
  const engine = await startEngine({ workers, ...options, databaseFile: file })
  onTestFinished(() => engine.close())
  return {
    file,
    engine,
    async ok(name, args) {
      const answer = await engine.call(name, args)
      if (!answer.ok) throw new Error(`${name}: ${answer.problems.map((p) => p.message).join(' ')}`)
      const parsed = contract[name].result.parse(answer.value)
      // A schema drops fields that it does not know, so this also finds what the contract does not name.
      expect(answer.value, name).toEqual(parsed)
      return answer.value as Result<typeof name>
    },
    async refused(name, args) {
      const answer = await engine.call(name, args)
      if (answer.ok) throw new Error(`${name} was answered: ${JSON.stringify(answer.value)}`)
      for (const problem of answer.problems) expect(problem.message).toMatch(/\.$|\?$|:$/)
      return answer.problems
    },
  }
}
