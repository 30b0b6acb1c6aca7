import { exchangeCoordinates } from '../../shared/design/coordinate-exchange.ts'
import { termAt, usualTerms } from '../../shared/design/design-terms.ts'
import { mostWork } from '../../shared/design/optimal.ts'
import { fitModel } from '../../shared/model/fit.ts'
import { leastSquares } from '../../shared/model/least-squares.ts'
import { fitMixed } from '../../shared/model/mixed.ts'
import { fitSurface } from '../../shared/model/surface.ts'
import { cholesky, logDeterminantOf } from '../../shared/model/symmetric.ts'
import type { Table } from '../../shared/model/table.ts'
import { seeded } from '../../shared/random.ts'
import { continuous } from '../unit/design/examples.ts'

/** One piece of work; it returns what it found, in words, for comparison. */
export type Job = {
  name: string
  /** Name of its data file and of the other program's line. */
  file: string
  data?: Record<string, number[]>
  /** What is timed beside it. */
  beside?: string
  repeats: number
  work(): string
}

const random = seeded(20)
const normals = (n: number) => Array.from({ length: n }, () => random.normal())

function linearData(rows: number): Record<string, number[]> {
  const columns = Array.from({ length: 9 }, () => normals(rows))
  const y = normals(rows).map((e, i) =>
    columns.reduce((sum, column, k) => sum + k * (column[i] as number), 5 + e),
  )
  return { ...Object.fromEntries(columns.map((column, k) => [`x${k + 1}`, column])), y }
}

function tableOf(data: Record<string, number[]>): Table {
  const columns = Object.entries(data).map(([name, values]) => ({ name, values }))
  return { columns, rows: columns[0]?.values.length ?? 0 }
}

const model = `y ~ ${Array.from({ length: 9 }, (_, k) => `x${k + 1}`).join(' + ')}`

function largeFit(data: Record<string, number[]>): () => string {
  const plain = (values: number[]) => ({ hi: Float64Array.from(values), lo: new Float64Array(values.length) })
  const { y = [], ...x } = data
  const columns = [plain(y.map(() => 1)), ...Object.values(x).map(plain)]
  const response = plain(y)
  return () => `last estimate ${leastSquares(columns, response).estimates.hi[9]?.toPrecision(12)}`
}

function smallFit(data: Record<string, number[]>): () => string {
  const table = tableOf(data)
  return () => {
    const fit = fitModel({ table, model })
    if (!fit.ok) throw new Error('The small fit was refused.')
    return `PRESS ${fit.value.report().press?.toPrecision(12)}`
  }
}

/** 20 lots of 10 wafers with 10 sites each. */
function nestedData(): Record<string, number[]> {
  const lots = normals(20)
  const wafers = normals(200)
  const lot = Array.from({ length: 2000 }, (_, i) => Math.floor(i / 100))
  const wafer = lot.map((_, i) => Math.floor(i / 10) % 10)
  const x = normals(2000)
  const y = normals(2000).map(
    (e, i) =>
      50 +
      3 * (lots[lot[i] as number] as number) +
      2 * (wafers[Math.floor(i / 10)] as number) +
      (x[i] as number) +
      e,
  )
  return { lot, wafer, x, y }
}

function nestedFit(data: Record<string, number[]>): () => string {
  const table = tableOf(data)
  return () => {
    const fit = fitMixed({ table, model: 'y ~ x', random: 'lot/wafer' })
    if (!fit.ok) throw new Error('The nested fit was refused.')
    return `restricted log-likelihood ${fit.value.report().logLikelihood?.toPrecision(12)}`
  }
}

function surfaceData(): Record<string, number[]> {
  const [a, b, c] = [0, 1, 2].map(() => Array.from({ length: 200 }, () => random.uniform())) as [
    number[],
    number[],
    number[],
  ]
  const y = a.map(
    (value, i) =>
      Math.sin(6 * value) +
      (b[i] as number) ** 2 * 3 +
      0.5 * value * (c[i] as number) +
      0.1 * random.normal(),
  )
  return { a, b, c, y }
}

function surfaceFit(data: Record<string, number[]>): () => string {
  const table = tableOf(data)
  return () => {
    const fit = fitSurface({ table, model: 'y ~ a + b + c', trend: 'none', noise: 'estimated' })
    if (!fit.ok) throw new Error('The surface was refused.')
    return `log-likelihood ${fit.value.report().logLikelihood?.toPrecision(9)}`
  }
}

function optimalDesign(): string {
  const factors = ['A', 'B', 'C', 'D', 'E'].map((name) => continuous(name, { levels: 3 }))
  const terms = usualTerms(factors, () => true)
  const coarse = Float64Array.from({ length: 21 }, (_, i) => (i - 10) / 10)
  const choices = factors.map(() => ({ coarse, fine: coarse, free: true }))
  const found = exchangeCoordinates({
    factors,
    terms,
    criterion: 'D',
    runs: 24,
    blocks: 1,
    fixed: [],
    choices,
    allowed: null,
    random: seeded(1),
    starts: 20,
    work: mostWork,
  })
  const rows = (found?.places ?? []).map((place) => terms.map((term) => termAt(term, place)))
  const p = terms.length
  const information = Float64Array.from({ length: p * p }, (_, at) =>
    rows.reduce((sum, row) => sum + (row[at % p] as number) * (row[Math.floor(at / p)] as number), 0),
  )
  const factor = cholesky(information, p)
  const efficiency = factor ? (100 * Math.exp(logDeterminantOf(factor, p) / p)) / rows.length : 0
  return `D-efficiency ${efficiency.toPrecision(5)} %`
}

const [large, small, nested, surface] = [linearData(100_000), linearData(27), nestedData(), surfaceData()]

export const jobs: Job[] = [
  {
    name: 'Least squares, 100 000 × 10',
    file: 'large',
    data: large,
    beside: 'lm.fit of R',
    repeats: 30,
    work: largeFit(large),
  },
  {
    name: 'Least squares, 27 × 10, with all diagnostics',
    file: 'small',
    data: small,
    beside: 'lm of R with summary, anova, rstudent, cooks.distance',
    repeats: 200,
    work: smallFit(small),
  },
  {
    name: 'Restricted likelihood, 2000 rows in lots, wafers and sites',
    file: 'nested',
    data: nested,
    beside: 'lme of nlme',
    repeats: 10,
    work: nestedFit(nested),
  },
  {
    name: 'Gaussian process, 200 runs in 3 factors, several starts',
    file: 'surface',
    data: surface,
    beside: 'GaussianProcessRegressor of scikit-learn, as many starts',
    repeats: 3,
    work: surfaceFit(surface),
  },
  {
    name: 'D-optimal quadratic in 5 factors, 24 runs, 20 starts',
    file: 'optimal',
    repeats: 3,
    work: optimalDesign,
  },
]
