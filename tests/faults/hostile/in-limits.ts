import { type ChildProcess, fork } from 'node:child_process'
import { join } from 'node:path'
import type { Problem } from '../../../shared/problem.ts'

/** What came of an input: a value, problems, a defect, or no answer within the limits. */
export type Outcome = { ms: number; most: number } & (
  | { kind: 'value' }
  | { kind: 'problems'; problems: Problem[] }
  | { kind: 'thrown'; message: string }
  | { kind: 'late' }
  | { kind: 'ended'; message: string }
)

export type Limits = {
  /** Longest that an input may take, ms. */
  ms: number
  /** Most of the process's own heap, MB. */
  heap: number
}

/**
 * Reads inputs in a process of its own, so that what hangs or fills the memory is ended and told, and the next input
 * gets a new process.
 */
export function inLimits({ ms, heap }: Limits): {
  read(reader: string, bytes: Uint8Array): Promise<Outcome>
  end(): void
} {
  let child: ChildProcess | null = null
  const start = async () => {
    const started = fork(join(import.meta.dirname, 'child.ts'), [], {
      serialization: 'advanced',
      execArgv: [`--max-old-space-size=${heap}`],
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    })
    await new Promise((done) => started.once('message', done))
    return started
  }
  const end = () => {
    child?.kill('SIGKILL')
    child = null
  }
  return {
    end,
    async read(reader, bytes) {
      child ??= await start()
      const own = child
      let said = ''
      const hear = (piece: Buffer) => {
        said = (said + piece.toString()).slice(-2000)
      }
      own.stderr?.on('data', hear)
      const outcome = await new Promise<Outcome>((done) => {
        const clock = setTimeout(() => done({ kind: 'late', ms, most: 0 }), ms)
        const ended = (code: number | null) =>
          done({ kind: 'ended', message: `${code} ${said}`, ms: 0, most: 0 })
        own.once('exit', ended)
        own.once('message', (answer) => {
          clearTimeout(clock)
          own.off('exit', ended)
          done(answer as Outcome)
        })
        own.send({ reader, bytes })
      })
      own.stderr?.off('data', hear)
      if (outcome.kind === 'late' || outcome.kind === 'ended') end()
      return outcome
    },
  }
}
