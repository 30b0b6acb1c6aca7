import { type ChildProcess, type ForkOptions, fork } from 'node:child_process'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import type { Reply } from '../../shared/contract.ts'

export const engineSource = join(import.meta.dirname, '../../electron/engine/main.ts')
/** The bundle that `npm test` has just made, which starts in a third of the time; none where a single file is run. */
export const engineBundle = process.env.EVENFILM_TEST_ENGINE

/** The engine as a process of its own, as the desktop window starts it. */
export function forked(file: string, options: ForkOptions = {}, entry = engineBundle ?? engineSource) {
  const child: ChildProcess = fork(entry, [file], options)
  const replies: Reply[] = []
  const waiting = new Set<() => void>()
  child.on('message', (reply: Reply) => {
    replies.push(reply)
    for (const look of waiting) look()
  })
  onTestFinished(() => {
    child.kill('SIGKILL')
  })
  const until = <T>(find: () => T | undefined) =>
    new Promise<T>((done) => {
      const look = () => {
        const found = find()
        if (found === undefined) return
        waiting.delete(look)
        done(found)
      }
      waiting.add(look)
      look()
    })
  let id = 0
  return {
    child,
    replies,
    ready: until(() => replies.find((reply) => reply.kind === 'ready')),
    call(name: string, args: unknown, page?: string) {
      const own = ++id
      child.send({ id: own, name, args, page })
      return until(() => replies.find((reply) => reply.kind === 'answer' && reply.id === own)).then(
        (reply) =>
          (reply as Extract<Reply, { kind: 'answer' }>).answer as {
            ok: boolean
            value: Record<string, string>
            problems: { code: string }[]
          },
      )
    },
  }
}
