import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { type EngineProcess, engineClient } from '../../../electron/desktop/engine-client.ts'
import type { Reply, Request, Stop } from '../../../shared/contract.ts'
import type { Progress } from '../../../shared/progress.ts'

/** The far end of the messages, worked by hand. */
function farEnd() {
  const sent: (Request | Stop)[] = []
  const far = {
    sent,
    killed: false,
    reply: (_message: Reply) => {},
    exit: (_code: number | null) => {},
  }
  const process: EngineProcess = {
    send: (message) => sent.push(message),
    onMessage: (handler) => {
      far.reply = handler
    },
    onExit: (handler) => {
      far.exit = handler
    },
    kill: () => {
      far.killed = true
      far.exit(null)
    },
  }
  const told = { changed: 0, progress: [] as Progress[], gone: [] as (number | null)[] }
  const client = engineClient(process, {
    onChanged: () => {
      told.changed += 1
    },
    onProgress: (progress) => told.progress.push(progress),
    onGone: (code) => told.gone.push(code),
    callTime: 1000,
    stopTime: 1000,
  })
  return { far, client, told }
}

const ids = (sent: (Request | Stop)[]) => sent.flatMap((message) => ('id' in message ? [message.id] : []))
const settle = () => vi.advanceTimersByTimeAsync(0)

describe('the caller of the engine’s process', () => {
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())

  test('sends nothing before the engine is ready, then everything in order', async () => {
    const { far, client } = farEnd()
    client.call('a', {})
    client.call('b', {})
    await settle()
    expect(far.sent).toEqual([])
    far.reply({ kind: 'ready' })
    await settle()
    expect(far.sent).toEqual([
      { id: 1, name: 'a', args: {} },
      { id: 2, name: 'b', args: {} },
    ])
  })

  test('gives each answer to the call that asked for it, whatever their order', async () => {
    const { far, client } = farEnd()
    far.reply({ kind: 'ready' })
    const [a, b] = [client.call('a', {}), client.call('b', {})]
    await settle()
    const [idA, idB] = ids(far.sent) as [number, number]
    far.reply({ kind: 'answer', id: idB, answer: { ok: true, value: 'of b' } })
    far.reply({ kind: 'answer', id: idA, answer: { ok: true, value: 'of a' } })
    expect(await a).toEqual({ ok: true, value: 'of a' })
    expect(await b).toEqual({ ok: true, value: 'of b' })
  })

  test('an engine that ends before it is ready fails every waiting call, with its exit code', async () => {
    const { far, client, told } = farEnd()
    const calls = [client.call('a', {}), client.call('b', {})]
    far.exit(70)
    for (const call of calls) {
      expect(await call).toMatchObject({ ok: false, problems: [{ code: 'engineGone' }] })
      expect(JSON.stringify(await call)).toContain('exit code 70')
    }
    expect(await client.ready).toBe(false)
    expect(far.sent).toEqual([])
    expect(told.gone).toEqual([70])
  })

  test('a later call to an engine that has ended is refused as well', async () => {
    const { far, client } = farEnd()
    far.reply({ kind: 'ready' })
    far.exit(null)
    expect(await client.call('a', {})).toMatchObject({ ok: false, problems: [{ code: 'engineGone' }] })
  })

  test('a call that is not answered in time is refused, and a late answer harms nothing', async () => {
    const { far, client } = farEnd()
    far.reply({ kind: 'ready' })
    const call = client.call('slow', {})
    await vi.advanceTimersByTimeAsync(1000)
    expect(await call).toMatchObject({ ok: false, problems: [{ code: 'tooLate' }] })
    far.reply({ kind: 'answer', id: 1, answer: { ok: true, value: 0 } })
  })

  test('tells of changes', () => {
    const { far, told } = farEnd()
    far.reply({ kind: 'changed' })
    far.reply({ kind: 'changed' })
    expect(told.changed).toBe(2)
  })

  test('asks the engine to stop, and ends it where it does not', async () => {
    const gentle = farEnd()
    gentle.far.reply({ kind: 'ready' })
    const stopped = gentle.client.stop()
    expect(gentle.far.sent).toEqual([{ kind: 'stop' }])
    gentle.far.exit(0)
    await stopped
    expect(gentle.far.killed).toBe(false)
    expect(gentle.told.gone).toEqual([])

    const stubborn = farEnd()
    const ended = stubborn.client.stop()
    await vi.advanceTimersByTimeAsync(1000)
    await ended
    expect(stubborn.far.killed).toBe(true)
  })
})
