import { describe, expect, test } from 'vitest'
import { fUpper } from '../../../shared/model/distributions.ts'
import { type ScoredEntry, scoreLedger } from '../../../shared/next/ledger-score.ts'
import { seeded } from '../../../shared/random.ts'

const entry = (session: string | null, error: number, more: Partial<ScoredEntry> = {}): ScoredEntry => ({
  session,
  fit: session ?? 'none',
  error,
  errors: { common: 0, day: 0.5, run: 0.5, df: 20 },
  share: error / 100,
  inside: Math.abs(error) < 2,
  ...more,
})

describe('a session', () => {
  test('its wafers share the day, so that many say little more than one', () => {
    const { sessions } = scoreLedger([1.5, 1.5, 1.5, 1.5].map((error) => entry('a', error)))
    // Mean of four with variance 0.5 + 0.5/4.
    expect(sessions).toMatchObject([{ session: 'a', wafers: 4, inside: 4 }])
    expect(sessions[0]?.z).toBeCloseTo(1.5 / Math.sqrt(0.625), 12)
    expect(sessions[0]?.bias).toBeCloseTo(0.015, 12)
  })

  test('one wafer is its own standardized error', () => {
    expect(scoreLedger([entry(null, -0.7)]).sessions[0]?.z).toBeCloseTo(-0.7, 12)
  })
})

describe('the intervals', () => {
  test('are not judged below 8 sessions, however far off they are', () => {
    const far = Array.from({ length: 7 }, (_, i) => entry(`day ${i}`, 9))
    expect(scoreLedger(far)).toMatchObject({ verdict: 'too few', look: null, factor: null })
    expect(scoreLedger([]).verdict).toBe('nothing measured')
  })

  test('at 8 sessions of different fits: F with 8 and the prediction’s degrees of freedom, at 0.025', () => {
    const score = scoreLedger(Array.from({ length: 9 }, (_, i) => entry(`day ${i}`, i % 2 ? 2 : -2)))
    expect(score.verdict).toBe('too narrow')
    expect(score.words).toMatch(/^The intervals have been too narrow:/)
    expect(score.look).toMatchObject({ sessions: 8, alpha: 0.025 })
    expect(score.look?.sumOfSquares).toBeCloseTo(32, 12)
    expect(score.look?.df[0]).toBeCloseTo(8, 12)
    expect(score.look?.pNarrow).toBeCloseTo(fUpper(4, 8, 20), 12)
    expect(score.factor).toBeCloseTo(2, 12)
  })

  test('sessions predicted from one fit count for fewer', () => {
    const errors = { common: 1, day: 0.5, run: 0.5, df: 20 }
    const same = Array.from({ length: 8 }, (_, i) => entry(`day ${i}`, 1, { fit: 'one', errors }))
    // Correlation 1/2 of any two: 64 / (8 + 56/4).
    expect(scoreLedger(same).look?.df[0]).toBeCloseTo(64 / 22, 12)
  })

  test('that are much too wide are said to be so, and softly', () => {
    const score = scoreLedger(Array.from({ length: 16 }, (_, i) => entry(`day ${i}`, i % 2 ? 0.05 : -0.05)))
    expect(score).toMatchObject({ verdict: 'too wide', look: { sessions: 16, alpha: 0.0125 } })
    expect(score.words).toContain('may be wider')
  })
})

/** Share of sequences of 32 sessions in which the intervals are called too narrow at any look. */
function alarms(options: { sequences: number; df: number; common: number; width: number; oneFit: boolean }) {
  const { sequences, df, common, width, oneFit } = options
  const random = seeded(11)
  const deviation = () => {
    let chi = 0
    for (let i = 0; i < df; i++) chi += random.normal() ** 2
    return Math.sqrt(chi / df)
  }
  let count = 0
  for (let n = 0; n < sequences; n++) {
    let [shared, estimated] = [random.normal(), deviation()]
    const entries: ScoredEntry[] = []
    for (let s = 0; s < 32; s++) {
      if (!oneFit) [shared, estimated] = [random.normal(), deviation()]
      const day = Math.sqrt(0.6) * random.normal()
      const scale = (estimated / width) ** 2
      const errors = { common: common * scale, day: 0.6 * scale, run: 0.4 * scale, df }
      for (let w = 0; w < 1 + (s % 2); w++) {
        const error = Math.sqrt(common) * shared + day + Math.sqrt(0.4) * random.normal()
        entries.push(entry(`day ${s}`, error, { fit: oneFit ? 'one' : `${s}`, errors }))
      }
    }
    if (alarmed(entries)) count++
  }
  return count / sequences
}

/** Looked at after each of 8, 16 and 32 sessions. */
function alarmed(entries: readonly ScoredEntry[]): boolean {
  return [8, 16, 32].some((sessions) => {
    const seen = new Set(Array.from({ length: sessions }, (_, s) => `day ${s}`))
    return scoreLedger(entries.filter(({ session }) => seen.has(session ?? ''))).verdict === 'too narrow'
  })
}

describe('over repeated looks at 8, 16 and 32 sessions', () => {
  const sequences = 1000
  // Binomial error of a share of 5 %: three standard errors.
  const most = 0.05 + 3 * Math.sqrt((0.05 * 0.95) / sequences)
  test.each([
    { df: 6, common: 0.2, oneFit: false },
    { df: 12, common: 0.2, oneFit: true },
    { df: 5, common: 1, oneFit: true },
  ])(
    'right intervals are called too narrow at most once in twenty sequences: $df df, one fit $oneFit',
    (how) => {
      const rate = alarms({ ...how, sequences, width: 1 })
      expect(rate).toBeLessThan(most)
    },
  )

  test('intervals of half the width are found out', () => {
    expect(alarms({ df: 12, common: 0.2, oneFit: false, sequences: 100, width: 2 })).toBeGreaterThan(0.75)
  })
})
