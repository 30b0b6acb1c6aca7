import fc from 'fast-check'
import { expect, test } from 'vitest'
import { serveOnPort } from '../../electron/engine/port.ts'
import { type CallName, contract, type Reply } from '../../shared/contract.ts'
import { type Random, seeded } from '../../shared/random.ts'
import { testEngine } from '../engine/engine-in-folder.ts'
import { plannedStudy } from '../engine/studies-for-tests.ts'
import { argumentsOf } from './arbitrary-arguments.ts'
import { contentOf } from './content-of.ts'
import { knownIn } from './known-in.ts'

/** Messages by call, and every how many calls: few here, many with `npm run test:long`. */
const [draws, step] = process.env.EVENFILM_TEST_LONG ? [60, 1] : [1, 3]

const cycle: Record<string, unknown> = { name: 'a' }
cycle.self = cycle
let deep: unknown = 1
for (let level = 0; level < 1000; level++) deep = level % 2 ? [deep] : { a: deep }

/** What no page sends and what a message can hold all the same; each made anew, as some are changed by being sent. */
const odd: (() => unknown)[] = [
  ...[Number.NaN, Number.POSITIVE_INFINITY, -0, 2 ** 53, -(2 ** 31), 5e-324, 1n, true, null, undefined].map(
    (value) => () => value,
  ),
  ...['', '\0', '\uD800', '__proto__', 'constructor', '9e999', '=1+1', 'x'.repeat(1_000_000)].map(
    (value) => () => value,
  ),
  () => new Date(Number.NaN),
  () => /(a+)+$/,
  () => new Map([['studyId', 1]]),
  () => new Set([1]),
  () => new Uint8Array(100_000),
  () => new Error('odd'),
  () => Object(1),
  () => JSON.parse('{"__proto__":{"studyId":"a"},"constructor":1,"toString":2}') as unknown,
  () => ({ valueOf: 1, kind: 'answer', length: -1 }),
  () => [],
  () => [[[[]]]],
  () => Array(200_000).fill(0),
  () => Array(2 ** 32 - 1),
  () => cycle,
  () => deep,
]

/** Some value within another replaced by an odd one, or the whole. */
function spoilt(value: unknown, random: Random): unknown {
  const other = odd[random.below(odd.length)] as () => unknown
  if (typeof value !== 'object' || value === null || random.below(5) === 0) return other()
  const places = Object.keys(value)
  if (Array.isArray(value) && places.length > 0) {
    const at = random.below(places.length)
    return value.map((part, i) => (i === at ? spoilt(part, random) : part))
  }
  const place =
    places.length === 0 || random.below(6) === 0
      ? '__proto__'
      : (places[random.below(places.length)] as string)
  const changed = Object.fromEntries(Object.entries(value))
  Object.defineProperty(changed, place, {
    value: spoilt(changed[place], random),
    enumerable: true,
    configurable: true,
    writable: true,
  })
  return changed
}

/** An engine behind a port of this process: what is sent is copied as between two processes. */
async function behindPort(databaseFile: string) {
  const replies: Reply[] = []
  const events = ['disconnect', 'SIGINT', 'SIGTERM'] as const
  const before = events.map((event) => process.listeners(event as 'SIGINT'))
  let receive: (message: unknown) => unknown = () => {}
  await serveOnPort(
    { send: (reply) => replies.push(structuredClone(reply)), onMessage: (handler) => (receive = handler) },
    async (tell) => (await testEngine({ databaseFile, ...tell })).engine,
  )
  // Its end is no end of the tests.
  for (const [i, event] of events.entries())
    for (const own of process.listeners(event as 'SIGINT'))
      if (!before[i]?.includes(own)) process.off(event, own)
  return { replies, send: async (message: unknown) => receive(structuredClone(message)) }
}

test('whatever comes over the port, each call is answered once, in words, and the engine lives', async () => {
  const made = await testEngine()
  const { studyId } = await plannedStudy(made)
  const known = await knownIn(made, studyId)
  await made.engine.close()
  const { replies, send } = await behindPort(made.file)
  const random = seeded(17)
  let id = 0
  for (const [i, name] of (Object.keys(contract) as CallName[]).entries()) {
    if (i % step > 0) continue
    // Backups, the demo and practice make whole files and studies each time.
    if (/^(backups\.|studies\.demo|plans\.practise)/.test(name)) continue
    const drawn = fc.sample(argumentsOf(contract[name].args, known), {
      numRuns: draws,
      seed: random.below(1e9),
    })
    for (const args of drawn) {
      id++
      const before = replies.length
      const given = spoilt(JSON.parse(JSON.stringify(args)), random)
      await send({ id, name, args: given, page: 'page' })
      const answers = replies.slice(before).filter((reply) => reply.kind === 'answer')
      expect(
        answers.map((reply) => reply.id),
        name,
      ).toEqual([id])
      const { answer } = answers[0] as Extract<Reply, { kind: 'answer' }>
      if (answer.ok) continue
      for (const { code, message } of answer.problems) {
        expect(code, `${name}: ${message}`).not.toMatch(/^(defect|computationEnded)$/)
        expect(message.length, name).toBeLessThan(2000)
      }
    }
  }
  // A list of few bytes and 2³² − 1 places, where a list is expected.
  await send({ id: ++id, name: 'bench.withdrawReadings', args: { studyId, readingIds: Array(2 ** 32 - 1) } })
  expect(replies.at(-1)).toMatchObject({ id, answer: { ok: false, problems: [{ code: 'badArgument' }] } })
  expect(({} as Record<string, unknown>).studyId).toBeUndefined()

  const names = ['__proto__', 'constructor', 'toString', '', 'studies.list ', 'x'.repeat(1_000_000), '\uD800']
  for (const name of names) {
    await send({ id: ++id, name, args: {} })
    const reply = replies.at(-1)
    expect(reply).toMatchObject({ id, answer: { ok: false, problems: [{ code: 'unknownCall' }] } })
    expect(JSON.stringify(reply).length).toBeLessThan(2000)
  }

  // What is no call is no call.
  const content = contentOf(made.file)
  const before = replies.length
  for (const value of odd.map((make) => make())) {
    await send(value)
    await send({ id: value, name: 'studies.demo', args: value, page: 1 })
    await send({ kind: value })
  }
  expect(replies.slice(before).filter((reply) => reply.kind !== 'changed')).toEqual([])
  expect(contentOf(made.file)).toBe(content)
  await send({ id: ++id, name: 'studies.list', args: {} })
  expect(replies.at(-1)).toMatchObject({ kind: 'answer', id, answer: { ok: true } })
}, 600_000)
