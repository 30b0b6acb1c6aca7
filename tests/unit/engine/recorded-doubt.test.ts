import { describe, expect, test } from 'vitest'
import type { Doubted } from '../../../electron/engine/compute/doubted-fit.ts'
import { type RecordedSession, recordedDoubt } from '../../../electron/engine/compute/recorded-doubt.ts'
import { sessionCauses } from '../../../shared/model/doubts/session-causes.ts'
import { fitModel } from '../../../shared/model/fit.ts'
import { seeded } from '../../../shared/random.ts'

const speeds = [2500, 3000, 3600, 4300]

type Planted = { opening?: number; operator?: number; humidity?: number }

/** Six sessions of one bottle with two operators, whose humidity is noted by run; by default nothing but chance in the film. */
function looked(seed: number, planted: Planted = {}, count = 6) {
  const random = seeded(seed)
  const operators = random.shuffled(Array.from({ length: count }, (_, s) => (s % 2 === 0 ? 'A' : 'B')))
  const opened = random.shuffled(Array.from({ length: count }, (_, s) => 1 + 2 * s))
  const sessions: RecordedSession[] = operators.map((operator, s) => ({
    name: `day ${s}`,
    day: '',
    operator,
    roomTemperature: 21 + random.normal(),
    humidity: null,
    bottleId: null,
    bottle: { openings: opened[s]!, daysOpen: 3 * opened[s]! + Math.floor(5 * random.uniform()) },
    note: '',
  }))
  const rows = sessions.flatMap(({ name, operator, bottle }) => {
    const ofDay = 0.006 * random.normal()
    return random.shuffled(speeds).map((speed) => {
      const humidity = 45 + 2 * random.normal()
      const moved =
        (planted.opening ?? 0) * bottle!.openings +
        (operator === 'B' ? (planted.operator ?? 0) : 0) +
        (planted.humidity ?? 0) * (humidity - 45)
      const thickness = Math.exp(11.5 - 0.5 * Math.log(speed) + ofDay + moved + 0.004 * random.normal())
      return { session: name, speed, humidity, thickness }
    })
  })
  const table = {
    rows: rows.length,
    columns: (['session', 'speed', 'thickness'] as const).map((name) => ({
      name,
      values: rows.map((row) => row[name]),
    })),
  }
  const answer = fitModel({ table, model: 'log(thickness) ~ log(speed)' })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  const doubted = {
    fitted: answer.value.fitted,
    found: {
      data: { table, runs: rows.map(({ session, humidity }) => ({ session, actual: { humidity } })) },
    },
    runs: { order: rows.map((_, i) => i + 1), session: rows.map(({ session }) => session) },
  } as unknown as Doubted
  return recordedDoubt(doubted, sessions)
}

describe('recorded of runs and of sessions', () => {
  test('of all together something is named in at most 5 of 100 studies in which nothing matters', () => {
    const studies = 80
    let named = 0
    for (let seed = 1; seed <= studies; seed++) if ((looked(seed).doubts ?? []).length > 0) named++
    expect(named / studies).toBeLessThan(0.05 + 3 * Math.sqrt((0.05 * 0.95) / studies))
    expect(named).toBeGreaterThan(0)
  })

  test('a bottle that thickens by 1 % an opening is found, with what it hangs together with', () => {
    const found = [1, 2, 3, 4, 5].map((seed) => looked(seed, { opening: 0.01 }))
    for (const { doubts, explained } of found) {
      const doubt = doubts!.find(({ sentence }) => sentence.includes('how sessions differ'))!
      expect(doubt).toMatchObject({ kind: 'recorded cause' })
      expect(doubt.sentence).toMatch(/bottle.* goes best with how sessions differ/)
      expect(doubt.p).toBeLessThan(0.05)
      expect(explained!.filter(({ name }) => name.endsWith('between sessions'))).toHaveLength(4)
    }
  })

  test('an operator who coats 4 % thicker is found among ten sessions; a humidity as well, by run', () => {
    expect(looked(3, { operator: 0.04 }, 10).doubts!.map(({ sentence }) => sentence)[0]).toMatch(
      /^operator goes best with how sessions differ/,
    )
    expect(looked(2, { humidity: 0.01 }).doubts!.map(({ sentence }) => sentence)[0]).toMatch(
      /^humidity goes best with what is left over/,
    )
  })

  test('three sessions do not tell what goes with sessions, and one tells nothing', () => {
    const three = looked(1, { opening: 0.05 }, 3)
    expect(three.doubts).toEqual([])
    expect(three.notJudged!.join(' ')).toContain(
      'operator: recorded with one value a session, which fewer than 4 sessions do not tell',
    )
    expect(looked(1, { opening: 0.05 }, 1).notJudged!.join(' ')).toContain('come from one session')
  })
})

describe('what goes with sessions', () => {
  const effects = [0.2, 0.9, 2.3, 2.8, 4.1, 5.2]
  const order = [1, 2, 3, 4, 5, 6]

  test('shares as R’s lm gives them, of a number and of names', () => {
    const found = sessionCauses(
      effects,
      [
        { name: 'openings', values: [1, 2, 4, 3, 5, 7] },
        { name: 'operator', values: ['A', 'B', 'C', 'A', 'B', 'C'] },
      ],
      order,
    )!
    const share = (name: string) => found.explained.find((each) => each.name === name)!.share
    // R: y <- c(0.2, 0.9, 2.3, 2.8, 4.1, 5.2); summary(lm(y ~ c(1, 2, 4, 3, 5, 7)))$r.squared; the same with gl(3, 1, 6)
    expect(share('openings')).toBeCloseTo(0.93185742394, 9)
    expect(share('operator')).toBeCloseTo(0.285767825354, 9)
    expect(found.explained[0]!.name).toBe('openings')
    expect(found.explained[0]!.withRunOrder).toBeCloseTo(0.94025615268, 9)
  })

  test('one value for all, a name for each session, and a number that nobody noted take no part', () => {
    expect(
      sessionCauses(
        effects,
        [
          { name: 'room', values: [21, 21, 21, 21, 21, 21] },
          { name: 'operator', values: ['A', 'B', 'C', 'D', 'E', 'F'] },
          { name: 'openings', values: [null, null, null, null, null, null] },
        ],
        order,
      ),
    ).toBeNull()
  })
})
