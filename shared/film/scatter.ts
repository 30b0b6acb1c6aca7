import { scatterLevels } from '../contract/choices.ts'
import type { Scatter, ScatterComponent, ScatterLevel } from '../contract/results/scatter.ts'
import { varianceEstimate } from '../gauge/variance-interval.ts'
import { fitMixed } from '../model/mixed.ts'
import type { Column, Table } from '../model/table.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { type ScatterRow, type ScatterWafer, scatterRows } from './scatter-rows.ts'
import { scatterSentence } from './scatter-words.ts'
import { usualCounts } from './usual-counts.ts'

/** A substrate with what was set, and the columns that a model of the study may name. */
export type ScatterSubstrate = ScatterWafer & {
  /** Equal where the substrates were made alike; null where nothing is known of what was set. */
  setting: string | null
  columns: Record<string, number | string | null>
}

export type ScatterInput = {
  substrates: readonly ScatterSubstrate[]
  /** Of the circle around the substrate, mm. */
  radiusMm: number
  /** Right side of the study's model, used where too few substrates were made alike. */
  model: string | null
  /** Of the gauge's page, in the unit of the readings; used where nothing was read twice. */
  repeatability: number | null
}

/** Means of equal settings are taken away where they leave so many degrees of freedom between wafers. */
const fewestAlike = 3
const level = 0.95

/**
 * Where the scatter of a film comes from: variances between sessions, plate visits within them, wafers, sites and
 * repeats by restricted maximum likelihood, on the log scale, after the means of equal settings or a model. Levels that
 * the readings cannot tell apart are named, and lie in the level inside them.
 */
export function whereScatterComesFrom(input: ScatterInput): Answer<Scatter> {
  const { substrates } = input
  if (substrates.length < 2)
    return refuse('tooFew', 'Scatter needs the readings of at least two wafers that count.')
  if (substrates.every(({ setting }) => setting === null))
    return refuse(
      'settingsUnknown',
      'The settings of these wafers are not known, so what lies between wafers cannot be told from what was set. Enter the settings of the runs.',
    )
  const settings = new Set(substrates.map(settingOf))
  const alike = substrates.length - settings.size
  const after = alike >= fewestAlike || input.model === null ? 'settings' : 'model'
  if (after === 'settings' && alike === 0)
    return refuse(
      'noReplicates',
      'No two wafers were made alike, and the study keeps no model of thickness by its settings: their scatter cannot be told from what the settings do. Keep a model on Curves, or coat a setting twice.',
    )
  const { rows, lost } = scatterRows(substrates, input.radiusMm)
  const right = after === 'model' ? (input.model as string) : settings.size > 1 ? settingColumn : '1'
  const table = tableOf(substrates, rows)
  const problems: Problem[] = []
  // What has no degree of freedom of its own is left to the level inside it, plate visits first.
  let dropped: ScatterLevel[] = []
  for (;;) {
    const levels = tellApart(substrates, rows, dropped)
    if (levels.length < 2)
      return refuse('oneLevel', 'Read at least two sites of a wafer, or two wafers a session.')
    const random = levels.slice(0, -1).map(groupColumn).join('/')
    const fit = fitMixed({ table, model: `${responseColumn} ~ ${right}`, random, level })
    if (fit.ok) {
      const strata = fit.value.strata.map(({ variance, df }, i): Stratum => {
        const own = levels[i] as ScatterLevel
        return { level: own, variance, df: own === 'site' ? Math.max(1, df - lost.df) : df }
      })
      problems.push(...untold(levels, dropped, substrates))
      return good(scatterOf(input, { rows, strata, after, problems }))
    }
    const next = (['plateVisit', 'session'] as const).find((one) => levels.includes(one))
    if (fit.problems[0]?.code !== 'noStratumDf' || next === undefined) return fit
    dropped = [...dropped, next]
  }
}

/** A wafer whose settings are not known is like no other. */
const settingOf = ({ setting, wafer }: ScatterSubstrate) => setting ?? `unknown ${wafer}`

const responseColumn = 'film_log'
const settingColumn = 'film_setting'
const groupColumn = (one: ScatterLevel) => `film_${one}`

function tableOf(substrates: readonly ScatterSubstrate[], rows: readonly ScatterRow[]): Table {
  const of = (row: ScatterRow) => substrates[row.wafer] as ScatterSubstrate
  const texts = (name: string, values: string[]): Column => ({ name, values })
  const names = Object.keys(substrates[0]?.columns ?? {})
  return {
    rows: rows.length,
    columns: [
      ...names.map((name) => ({ name, values: rows.map((row) => of(row).columns[name] ?? null) })),
      { name: responseColumn, values: rows.map(({ log }) => log) },
      texts(
        settingColumn,
        rows.map((row) => settingOf(of(row))),
      ),
      ...(['session', 'plateVisit', 'wafer'] as const).map((one) =>
        texts(
          groupColumn(one),
          // A number would be read as one.
          rows.map((row) => `is ${of(row)[one]}`),
        ),
      ),
      texts(
        groupColumn('site'),
        rows.map(({ site }) => `is ${site}`),
      ),
    ],
  }
}

/** The levels that divide what the one outside them leaves together, the innermost being single readings. */
function tellApart(
  substrates: readonly ScatterSubstrate[],
  rows: readonly ScatterRow[],
  dropped: readonly ScatterLevel[],
): ScatterLevel[] {
  let outside = 1
  return scatterLevels.filter((one) => {
    if (dropped.includes(one)) return false
    const count = countOf(one, substrates, rows)
    if (count <= outside) return false
    outside = count
    return true
  })
}

function countOf(
  one: ScatterLevel,
  substrates: readonly ScatterSubstrate[],
  rows: readonly ScatterRow[],
): number {
  if (one === 'repeat') return rows.length
  if (one === 'site') return new Set(rows.map(({ wafer, site }) => `${wafer} ${site}`)).size
  const key = { session: 1, plateVisit: 2, wafer: 3 }[one]
  const keys = substrates.map(({ session, plateVisit, wafer }) =>
    JSON.stringify([session, plateVisit, wafer].slice(0, key)),
  )
  return new Set(keys).size
}

type Stratum = { level: ScatterLevel; variance: number; df: number }

function scatterOf(
  input: ScatterInput,
  found: { rows: ScatterRow[]; strata: Stratum[]; after: Scatter['after']; problems: Problem[] },
): Scatter {
  const { substrates, repeatability } = input
  const { rows, strata, after, problems } = found
  const values = substrates.flatMap(({ readings }) => readings.map(({ value }) => value))
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  const groups = (one: ScatterLevel) => countOf(one, substrates, rows)
  const components = strata.map((stratum, i): ScatterComponent => {
    const [lower, upper] = intervalOf(strata, i, groups)
    return {
      level: stratum.level,
      groups: groups(stratum.level),
      standardDeviation: Math.sqrt(stratum.variance),
      lower: Math.sqrt(lower),
      upper: Number.isFinite(upper) ? Math.sqrt(upper) : null,
      df: stratum.df,
      source: 'readings',
      shareOfMean: 0,
    }
  })
  if (components.at(-1)?.level === 'site' && repeatability !== null)
    takeOutGauge(components, repeatability / mean)
  const counts = usualCounts(
    components.map((one) => one.level),
    substrates,
  )
  const contribution = (given: typeof counts) => {
    let number = 1
    return components.map(({ standardDeviation }, i) => {
      number *= given[i]?.count ?? 1
      return standardDeviation ** 2 / number
    })
  }
  const sum = (parts: number[]) => parts.reduce((total, part) => total + part, 0)
  const now = contribution(counts)
  components.forEach((component, i) => {
    component.shareOfMean = sum(now) > 0 ? (now[i] as number) / sum(now) : 0
  })
  const more = counts.map(({ level: own, count }, i) => {
    const given = counts.map((one, k) => (k === i ? { ...one, count: one.count + 1 } : one))
    return { level: own, count: count + 1, standardUncertainty: Math.sqrt(sum(contribution(given))) }
  })
  const standardUncertainty = Math.sqrt(sum(now))
  return {
    ...{ readings: rows.length, wafers: substrates.length, mean, after },
    model: after === 'model' ? input.model : null,
    components,
    now: { counts, standardUncertainty },
    more,
    sentence: scatterSentence(components, standardUncertainty, more),
    problems,
  }
}

/** Interval of the variance of a stratum, from its mean square and that of the one inside it. */
function intervalOf(
  strata: readonly Stratum[],
  i: number,
  groups: (one: ScatterLevel) => number,
): [number, number] {
  const meanSquares: number[] = []
  const inside = (k: number) =>
    groups((strata[k + 1] as Stratum).level) / groups((strata[k] as Stratum).level)
  for (let k = strata.length - 1; k >= 0; k--) {
    const below = meanSquares[k + 1]
    meanSquares[k] = (strata[k] as Stratum).variance + (below === undefined ? 0 : below / inside(k))
  }
  const square = (k: number) => ({ value: meanSquares[k] as number, df: (strata[k] as Stratum).df })
  const outer = { square: square(i), coefficient: 1 }
  const last = i === strata.length - 1
  return varianceEstimate(
    last ? [outer] : [outer, { square: square(i + 1), coefficient: -1 / inside(i) }],
    level,
  ).interval
}

/** Where nothing was read twice the scatter of sites holds the gauge's repeatability, which stands by itself then. */
function takeOutGauge(components: ScatterComponent[], share: number): void {
  const site = components.at(-1) as ScatterComponent
  const without = Math.sqrt(Math.max(0, site.standardDeviation ** 2 - share ** 2))
  const gauge = Math.min(share, site.standardDeviation)
  const ratio = site.standardDeviation > 0 ? without / site.standardDeviation : 0
  Object.assign(site, {
    standardDeviation: without,
    lower: site.lower * ratio,
    upper: site.upper === null ? null : site.upper * ratio,
  })
  components.push({
    ...{ level: 'repeat', groups: site.groups, standardDeviation: gauge, lower: gauge, upper: gauge },
    ...{ df: null, source: 'gauge', shareOfMean: 0 },
  })
}

/** Levels that the readings say nothing of, in words. */
function untold(
  levels: readonly ScatterLevel[],
  dropped: readonly ScatterLevel[],
  substrates: readonly ScatterSubstrate[],
): Problem[] {
  if (levels.includes('session')) return []
  const sessions = new Set(substrates.map(({ session }) => session)).size
  const why = dropped.includes('session')
    ? 'Sessions cannot be told from their settings: no setting was repeated in another one'
    : sessions > 1
      ? 'Every session has one wafer, so that sessions and wafers are one'
      : 'All wafers are of one session'
  return [
    {
      code: 'sessionUnknown',
      message: `${why}. What another day adds is not counted here.`,
      column: 'session',
    },
  ]
}
