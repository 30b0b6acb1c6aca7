import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { type EngineProcess, keepEngine } from '../../../electron/engine-process/keep-engine.ts'
import type { Alive, Reply, Request, Stop } from '../../../shared/contract.ts'
import type { EngineState } from '../../../shared/engine-state.ts'
import type { Progress } from '../../../shared/progress.ts'

/** One engine's process, worked by hand. */
type FarEnd = {
  sent: (Request | Stop | Alive)[]
  killed: boolean
  reply(message: Reply): void
  exit(code: number | null): void
}

function kept() {
  const started: FarEnd[] = []
  const start = (): EngineProcess => {
    const far: FarEnd = { sent: [], killed: false, reply: () => {}, exit: () => {} }
    started.push(far)
    return {
      send: (message) => far.sent.push(message),
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
  }
  const told = { changed: 0, progress: [] as Progress[], states: [] as EngineState[] }
  const engine = keepEngine(start, {
    onChanged: () => {
      told.changed += 1
    },
    onProgress: (progress) => told.progress.push(progress),
    onState: (state) => told.states.push(state),
    stopTime: 1000,
  })
  /** The process that is there now. */
  const far = () => started.at(-1) as FarEnd
  return { engine, started, far, told, states: () => told.states.map(({ state }) => state) }
}

const requests = ({ sent }: FarEnd) => sent.flatMap((message) => ('id' in message ? [message] : []))
const names = (far: FarEnd) => requests(far).map(({ name }) => name)
const answer = (far: FarEnd, name: string, value: unknown) => {
  const { id } = requests(far).find((request) => request.name === name) as Request
  far.reply({ kind: 'answer', id, answer: { ok: true, value } })
}
const pass = (ms: number) => vi.advanceTimersByTimeAsync(ms)

beforeEach(() => void vi.useFakeTimers())
afterEach(() => void vi.useRealTimers())

describe('the keeper of the engine’s process', () => {
  test('sends nothing before the engine is ready, then everything in order', () => {
    const { engine, far } = kept()
    void engine.call('a', {})
    void engine.call('b', {}, 'window 1')
    expect(far().sent).toEqual([])
    far().reply({ kind: 'ready' })
    expect(requests(far())).toMatchObject([
      { id: 1, name: 'a', args: {} },
      { id: 2, name: 'b', args: {}, page: 'window 1' },
    ])
    expect(new Set(requests(far()).map(({ key }) => key)).size).toBe(2)
  })

  test('gives each answer to the call that asked for it, whatever their order', async () => {
    const { engine, far } = kept()
    far().reply({ kind: 'ready' })
    const [a, b] = [engine.call('a', {}), engine.call('b', {})]
    answer(far(), 'b', 'of b')
    answer(far(), 'a', 'of a')
    expect(await a).toEqual({ ok: true, value: 'of a' })
    expect(await b).toEqual({ ok: true, value: 'of b' })
  })

  test('tells of changes and progress', () => {
    const { far, told } = kept()
    far().reply({ kind: 'changed' })
    far().reply({ kind: 'changed' })
    const progress = { page: 'p', call: 'c', what: 'rows', done: 1, of: 2 } as unknown as Progress
    far().reply({ kind: 'progress', progress })
    expect(told).toMatchObject({ changed: 2, progress: [progress], states: [] })
  })
})

describe('an engine that ends', () => {
  test('is started again, and what it did not answer is sent again under the same key, in order', async () => {
    const { engine, far, started, told, states } = kept()
    far().reply({ kind: 'ready' })
    const calls = ['a', 'b', 'c'].map((name) => engine.call(name, { name }, 'page', `key of ${name}`))
    answer(far(), 'b', 'of b')
    far().exit(9)
    expect(told.states).toEqual([{ state: 'again', because: 'exit code 9' }])
    const during = engine.call('d', {})
    await pass(0)
    expect(started).toHaveLength(2)
    expect(far().sent).toEqual([])
    far().reply({ kind: 'ready' })
    expect(names(far())).toEqual(['a', 'c', 'd'])
    expect(requests(far())[0]).toMatchObject({ args: { name: 'a' }, page: 'page', key: 'key of a' })
    for (const name of ['a', 'c', 'd']) answer(far(), name, `of ${name}`)
    expect(await Promise.all([...calls, during])).toEqual(
      ['a', 'b', 'c', 'd'].map((name) => ({ ok: true, value: `of ${name}` })),
    )
    expect(states()).toEqual(['again', 'works'])
    expect(told.changed).toBe(1)
  })

  test('more than three times within a minute is not started again unasked; then every call is refused', async () => {
    const { engine, far, started, told } = kept()
    const waiting = engine.call('a', {})
    for (let i = 0; i < 4; i++) {
      far().exit(70)
      await pass(1000)
    }
    expect(started).toHaveLength(4)
    expect(told.states.at(-1)).toEqual({ state: 'ended', because: 'exit code 70', times: 4 })
    for (const call of [waiting, engine.call('b', {})]) {
      expect(await call).toMatchObject({ ok: false, problems: [{ code: 'engineGone' }] })
      expect(JSON.stringify(await call)).toContain('exit code 70')
    }
    engine.startAgain()
    far().reply({ kind: 'ready' })
    const later = engine.call('c', {})
    answer(far(), 'c', 1)
    expect(await later).toEqual({ ok: true, value: 1 })
    expect(engine.state).toEqual({ state: 'works' })
  })

  test('four times over a longer time goes on being started again', async () => {
    const { far, started, states } = kept()
    for (let i = 0; i < 6; i++) {
      far().reply({ kind: 'ready' })
      await pass(31_000)
      far().exit(1)
      await pass(1000)
    }
    expect(started).toHaveLength(7)
    expect(states()).not.toContain('ended')
  })

  test('of a call is not asked that call a third time, and lives on for the others', async () => {
    const { engine, far, states } = kept()
    far().reply({ kind: 'ready' })
    const deadly = engine.call('deadly', {})
    for (let i = 0; i < 2; i++) {
      far().exit(null)
      await pass(1000)
      far().reply({ kind: 'ready' })
    }
    expect(await deadly).toMatchObject({ ok: false, problems: [{ code: 'engineGone' }] })
    expect(names(far())).toEqual([])
    const other = engine.call('other', {})
    answer(far(), 'other', 1)
    expect(await other).toMatchObject({ ok: true })
    expect(states().at(-1)).toBe('works')
  })

  test('gently is mostly part of the end of everything: it is not started again at once', async () => {
    const { engine, far, started } = kept()
    far().reply({ kind: 'ready' })
    far().exit(0)
    await pass(400)
    expect(started).toHaveLength(1)
    await engine.stop()
    await pass(5000)
    expect(started).toHaveLength(1)
  })
})

describe('an engine that does not answer', () => {
  test('is told of after ten seconds, and works again once it gives a sign of life', async () => {
    const { engine, far, told, states } = kept()
    far().reply({ kind: 'ready' })
    const call = engine.call('a', {})
    await pass(9000)
    expect(told.states).toEqual([])
    await pass(1000)
    expect(told.states).toEqual([{ state: 'silent', seconds: 10 }])
    far().reply({ kind: 'alive' })
    expect(states()).toEqual(['silent', 'works'])
    answer(far(), 'a', 1)
    expect(await call).toEqual({ ok: true, value: 1 })
  })

  test('is one that gives no sign of life: a long call of one that does may take as long as it takes', async () => {
    const { engine, far, told } = kept()
    far().reply({ kind: 'ready' })
    const long = engine.call('long', {})
    for (let s = 0; s < 600; s += 5) {
      await pass(5000)
      expect(far().sent.at(-1)).toEqual({ kind: 'alive' })
      far().reply({ kind: 'alive' })
    }
    expect(told.states).toEqual([])
    answer(far(), 'long', 1)
    expect(await long).toMatchObject({ ok: true })
  })

  test('bothers nobody while nobody waits', async () => {
    const { far, told } = kept()
    far().reply({ kind: 'ready' })
    await pass(600_000)
    expect(far().sent).toEqual([])
    expect(told.states).toEqual([])
  })

  test('is ended and started again where a person asks for it, and what it did not answer is sent again', async () => {
    const { engine, far, started, states } = kept()
    far().reply({ kind: 'ready' })
    engine.startAgain()
    expect(far().killed).toBe(false)
    const call = engine.call('a', {})
    await pass(10_000)
    engine.startAgain()
    expect(started[0]?.killed).toBe(true)
    await pass(0)
    far().reply({ kind: 'ready' })
    answer(far(), 'a', 1)
    expect(await call).toEqual({ ok: true, value: 1 })
    expect(states()).toEqual(['silent', 'again', 'works'])
  })

  test('may take a minute to start, since it may have a whole database to read', async () => {
    const { engine, states } = kept()
    void engine.call('a', {})
    await pass(59_000)
    expect(states()).toEqual([])
    await pass(1000)
    expect(states()).toEqual(['silent'])
  })

  test('what comes late from one that has been ended harms nothing', async () => {
    const { engine, far, started } = kept()
    far().reply({ kind: 'ready' })
    const call = engine.call('a', {})
    far().exit(9)
    await pass(0)
    const [first] = started as [FarEnd]
    answer(first, 'a', 'of the first')
    far().reply({ kind: 'ready' })
    answer(far(), 'a', 'of the second')
    expect(await call).toEqual({ ok: true, value: 'of the second' })
  })
})

describe('the end of the program', () => {
  test('asks the engine to stop, and ends it where it does not', async () => {
    const gentle = kept()
    gentle.far().reply({ kind: 'ready' })
    const stopped = gentle.engine.stop()
    expect(gentle.far().sent).toEqual([{ kind: 'stop' }])
    gentle.far().exit(0)
    await stopped
    expect(gentle.far().killed).toBe(false)

    const stubborn = kept()
    const waiting = stubborn.engine.call('a', {})
    const ended = stubborn.engine.stop()
    await pass(1000)
    await ended
    expect(stubborn.far().killed).toBe(true)
    for (const call of [waiting, stubborn.engine.call('b', {})])
      expect(await call).toMatchObject({ ok: false, problems: [{ code: 'engineGone' }] })
    await pass(600_000)
    expect(stubborn.started).toHaveLength(1)
    expect([...gentle.states(), ...stubborn.states()]).toEqual([])
  })
})
