import Sqlite from 'better-sqlite3'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type CallName, contract } from '../../shared/contract.ts'
import { changeWords } from '../../shared/history/change-words.ts'
import { demoEngine } from '../engine/demo-engine.ts'
import { rawIn } from '../engine/raw-words.ts'
import { argumentsOf } from './arbitrary-arguments.ts'
import { contentOf } from './content-of.ts'
import { knownIn } from './known-in.ts'

/** Draws for each call; many more with `npm run test:long`. */
const draws = process.env.EVENFILM_TEST_LONG ? 25 : 1
/** Longest that any answer may take, ms. */
const limit = 60_000

test('whatever a call is given, it is answered in time, as the contract says, and a read changes nothing', async () => {
  const { engine, studyId } = await demoEngine()
  const known = await knownIn(engine, studyId)
  const answered = new Map<string, number>()
  let content = contentOf(engine.file)
  for (const name of Object.keys(contract) as CallName[]) {
    const { args, result, writes } = contract[name]
    await fc.assert(
      fc.asyncProperty(argumentsOf(args, known), async (drawn) => {
        // As every door carries it.
        const given = JSON.parse(JSON.stringify(drawn)) as unknown
        const late = setTimeout(() => console.error(`${name} takes long: ${JSON.stringify(given)}`), limit)
        const answer = await engine.engine.call(name, given, 'page')
        clearTimeout(late)
        if (answer.ok) {
          expect(result.safeParse(answer.value).error?.issues ?? [], name).toEqual([])
          answered.set(name, (answered.get(name) ?? 0) + 1)
        } else
          for (const { code, message } of answer.problems) {
            expect(code, `${name}: ${message}`).not.toMatch(/^(defect|computationEnded)$/)
            expect(message.length, name).toBeGreaterThan(3)
          }
      }),
      { numRuns: draws, seed: 11, interruptAfterTimeLimit: 20 * limit, endOnFailure: true },
    )
    const after = contentOf(engine.file)
    if (!writes) expect(after, name).toBe(content)
    content = after
  }
  // Not all is refused at the door.
  expect(answered.size).toBeGreaterThan(Object.keys(contract).length / 3)
  // Whatever they have changed is told in words of the trade.
  for (const id of [studyId, null]) {
    const { steps } = await engine.ok('history.read', { studyId: id, limit: 200 })
    expect(
      rawIn(
        engine.file,
        steps.flatMap(({ changes }) => changes.map(changeWords)),
      ),
    ).toEqual([])
  }
  const db = new Sqlite(engine.file, { readonly: true })
  expect(db.pragma('integrity_check', { simple: true })).toBe('ok')
  expect(db.pragma('foreign_key_check')).toEqual([])
  db.close()
}, 1_200_000)
