import type { LedgerScore } from '../contract/results/ledger.ts'
import type { SetErrors } from '../contract/results/next.ts'
import { counted } from '../counted.ts'
import { fCdf, fUpper } from '../model/distributions.ts'

/** A prediction that was measured. */
export type ScoredEntry = {
  session: string | null
  /** Tells fits apart: predictions of one fit share the error of its mean. */
  fit: string
  /** Measured less predicted, on the model's scale. */
  error: number
  errors: SetErrors
  /** The same as a share of what was predicted, in the response's own unit. */
  share: number
  inside: boolean
}

/** The ledger is first judged at so many sessions, then whenever they have doubled. */
const firstLook = 8
const alphaInAll = 0.05

/**
 * Judges the intervals of a ledger by its sessions, whose wafers share an error and so count as one. The sum of the
 * squared z is compared with F: by the numerator's degrees of freedom allowing for what sessions share that were
 * predicted from one fit (F. E. Satterthwaite, Biometrics Bulletin 2, 1946: k²/Σρ²), by the denominator's for the
 * estimated variances behind the predictions. Errors of predictions from different fits are taken as independent, each
 * fit having seen the runs before it.
 *
 * The ledger is looked at again and again, so 0.05 is spent over the looks: half of it at 8 sessions, a quarter at 16,
 * and so on, 0.05/2^k; by Bonferroni's inequality the chance of any false alarm stays below 0.05 (spending by looks: Lan
 * & DeMets, Biometrika 70, 1983; this rule from memory).
 *
 * @param entries in the order in which they were measured; what is looked at are the first 8, 16, 32 … sessions
 */
export function scoreLedger(entries: readonly ScoredEntry[]): LedgerScore {
  const bySession = new Map<string | null, ScoredEntry[]>()
  for (const entry of entries) {
    const same = bySession.get(entry.session)
    if (same) same.push(entry)
    else bySession.set(entry.session, [entry])
  }
  const sessions = [...bySession.values()].map(meanOf)
  const coverage = counted(entries.map(({ inside }) => inside))
  const k = Math.floor(Math.log2(sessions.length / firstLook)) + 1
  const look = k >= 1 ? lookAt(sessions.slice(0, firstLook * 2 ** (k - 1)), alphaInAll / 2 ** k) : null
  const verdict =
    look === null
      ? sessions.length === 0
        ? 'nothing measured'
        : 'too few'
      : look.pNarrow < look.alpha
        ? 'too narrow'
        : look.pWide < look.alpha
          ? 'too wide'
          : 'as predicted'
  const judged = verdict === 'too narrow' || verdict === 'too wide'
  const factor = judged && look ? Math.sqrt(look.sumOfSquares / look.sessions) : null
  return {
    sessions: sessions.map(({ entries, z }) => ({
      session: entries[0]?.session ?? null,
      wafers: entries.length,
      inside: entries.filter(({ inside }) => inside).length,
      bias: average(entries.map(({ share }) => share)),
      z,
    })),
    coverage,
    look,
    verdict,
    factor,
    words: inWords(verdict, sessions.length, look, factor),
  }
}

const average = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length

type Session = { entries: readonly ScoredEntry[]; deviation: number; z: number }

const deviationOf = ({ errors: { common, day, run } }: ScoredEntry) => Math.sqrt(common + day + run)

/** Of the standardized errors of a session the mean, over its own standard deviation. */
function meanOf(entries: readonly ScoredEntry[]): Session {
  const variance = average(
    entries.flatMap((a) =>
      entries.map((b) => (a === b ? 1 : commonOf(a, b) + share(a, b, ({ errors }) => errors.day))),
    ),
  )
  const deviation = Math.sqrt(variance)
  return { entries, deviation, z: average(entries.map((one) => one.error / deviationOf(one))) / deviation }
}

/** What two standardized errors have in common by a part of their variances. */
const share = (a: ScoredEntry, b: ScoredEntry, part: (entry: ScoredEntry) => number) =>
  Math.sqrt(part(a) * part(b)) / (deviationOf(a) * deviationOf(b))

const commonOf = (a: ScoredEntry, b: ScoredEntry) =>
  a.fit === b.fit ? share(a, b, ({ errors }) => errors.common) : 0

/** The sum of z² of so many sessions against its distribution. */
function lookAt(sessions: readonly Session[], alpha: number): NonNullable<LedgerScore['look']> {
  const correlation = (a: Session, b: Session) =>
    a === b
      ? 1
      : average(a.entries.flatMap((one) => b.entries.map((other) => commonOf(one, other)))) /
        (a.deviation * b.deviation)
  const squares = sessions.flatMap((a) => sessions.map((b) => correlation(a, b) ** 2))
  const sum = squares.reduce((total, square) => total + square, 0)
  const entries = sessions.flatMap((session) => session.entries)
  const df: [number, number] = [
    sessions.length ** 2 / sum,
    1 / average(entries.map(({ errors }) => 1 / errors.df)),
  ]
  const sumOfSquares = sessions.reduce((total, { z }) => total + z ** 2, 0)
  const ratio = sumOfSquares / sessions.length
  return {
    sessions: sessions.length,
    sumOfSquares,
    df,
    pNarrow: fUpper(ratio, ...df),
    pWide: fCdf(ratio, ...df),
    alpha,
  }
}

function inWords(
  verdict: LedgerScore['verdict'],
  sessions: number,
  look: LedgerScore['look'],
  factor: number | null,
): string {
  const seen = `${sessions} ${sessions === 1 ? 'session' : 'sessions'}`
  const first = look === null ? '' : `the first ${look.sessions} sessions`
  switch (verdict) {
    case 'nothing measured':
      return 'No prediction has been measured yet.'
    case 'too few':
      return `${seen} measured: too few to judge the intervals. They are judged from ${firstLook} on, because the wafers of one session share its error.`
    case 'too narrow':
      return `The intervals have been too narrow: over ${first} the errors were ${factor?.toFixed(1)} times what they should be. Take the chances below with care, and add runs on more days so that the difference between days is known.`
    case 'too wide':
      return `The intervals may be wider than need be: over ${first} the errors were ${factor?.toFixed(1)} times what they could have been.`
    case 'as predicted':
      return `Over ${first} the intervals have held as they should.`
  }
}
