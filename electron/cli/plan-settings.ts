import { clockTimePattern, designKinds } from '../../shared/contract/choices.ts'
import {
  type DesignSettings,
  type Factor,
  readingTimes,
  type Settings,
  visitOrders,
} from '../../shared/contract/things.ts'
import { kindsAskingFor, ownFields } from '../../shared/design/own-fields.ts'
import { type Answer, good, type Problem } from '../../shared/problem.ts'
import type { BenchFigures } from '../../shared/process/budget.ts'
import { usualRoom } from '../../shared/study-defaults.ts'
import { factorsOf } from './factor-option.ts'
import { type Given, taker } from './options.ts'
import { tableOf } from './table-file.ts'

/** Options that belong to some kinds of design: with another one they would be ignored, and are refused. */
const ofSomeKinds = ['fraction', 'star', 'runs', 'criterion', 'forbid', 'keep'] as const

/** What is booked and stands ready. */
type Booked = Pick<BenchFigures, 'slotHours' | 'bottleMl' | 'plateAtStart'>

/** Factors, design and what is booked, as the options of a plan say. */
export function planSettings(
  given: Given,
): Answer<{ factors: Factor[]; design: DesignSettings; booked: Booked }> {
  const { problems, take, number, share, word } = taker(given)
  const bad = (column: string, message: string) => problems.push({ code: 'badOption', message, column })
  const factors = take(factorsOf(given.texts('factor'), { fixed: false })) ?? []
  const kind = word('design', designKinds, 'full')
  for (const option of ofSomeKinds)
    if (given.has(option) && !ownFields[kind].includes(option))
      bad(option, `--${option} belongs to --design ${kindsAskingFor(option).join(' or ')}, not to ${kind}.`)
  for (const option of ['visits', 'variance-ratio', 'visit-order'])
    if (given.has(option) && factors.length > 0 && !factors.some((factor) => factor.hardToChange))
      bad(option, `--${option} is for a factor that is hard to change; mark it with hard.`)
  const auto = given.text('visits')?.trim() === 'auto'
  if (auto && kind !== 'optimal')
    bad('visits', `--visits auto belongs to --design optimal; for ${kind} state a number or leave it out.`)
  if (auto && kind === 'optimal' && Number(given.text('replicates') ?? 1) > 1)
    bad('visits', '--visits auto is for one replicate: leave out --replicates.')
  const whole = (option: string, atLeast: number, atMost = 100) =>
    given.has(option) ? { [option]: number(option, { whole: true, atLeast, atMost }, 1) } : {}
  const text = (option: string) => (given.has(option) ? { [option]: given.text(option) ?? '' } : {})
  const keep = given.text('keep')
  const start = given.text('start')
  if (start !== null && !clockTimePattern.test(start))
    bad('start', `--start is a time of day such as 09:30, not ‘${start}’.`)
  const slotHours = given.has('slot') ? number('slot', { above: 0, atMost: 1000 }, 4) : null
  const bottleMl = given.has('bottle') ? number('bottle', { atLeast: 0 }, 0) : null
  const plateAtStart =
    given.text('plate-start') === 'set'
      ? ('set beforehand' as const)
      : given.has('plate-start')
        ? number('plate-start', { atLeast: -273, atMost: 1000 }, usualRoom)
        : usualRoom
  const design: DesignSettings = {
    kind,
    replicates: number('replicates', { whole: true, atLeast: 1, atMost: 100 }, 1),
    centre: number('centre', { whole: true, atLeast: 0, atMost: 100 }, 0),
    blocks: number('blocks', { whole: true, atLeast: 1, atMost: 100 }, 1),
    seed: number('seed', { whole: true, atLeast: 0, atMost: 2 ** 31 - 1 }, 1),
    sigma: share('sigma', null),
    power: number('power', { above: 0, below: 1 }, 0.8),
    ...text('model'),
    ...text('fraction'),
    ...text('forbid'),
    ...whole('runs', 1, 500),
    ...(auto ? {} : whole('visits', 1)),
    ...(given.has('star') ? { star: word('star', ['face', 'rotatable', 'spherical'], 'face') } : {}),
    ...(given.has('criterion') ? { criterion: word('criterion', ['D', 'I'], 'D') } : {}),
    ...(given.has('variance-ratio')
      ? { varianceRatio: number('variance-ratio', { atLeast: 0, atMost: 1000 }, 1) }
      : {}),
    ...(given.has('visit-order') ? { visitOrder: word('visit-order', visitOrders, 'random') } : {}),
    ...whole('sessions', 1, 3),
    ...(given.has('reference') ? { reference: true } : {}),
    ...(given.has('reading') ? { reading: word('reading', readingTimes, 'after') } : {}),
    ...(start === null ? {} : { start }),
    ...(keep === null ? {} : { keep: take(keptSettings(keep, factors)) ?? [] }),
  }
  return problems.length > 0
    ? { ok: false, problems }
    : good({ factors, design, booked: { slotHours, bottleMl, plateAtStart } })
}

/** Settings of the runs in a file, which needs a column for every factor; other columns are left alone. */
function keptSettings(path: string, factors: Factor[]): Answer<Settings[]> {
  const file = tableOf(path, undefined)
  if (!file.ok) return file
  const problems: Problem[] = []
  const columns = factors.map(({ name }) => {
    const column = file.value.column(name)
    if (!column.ok)
      problems.push(
        ...column.problems.map((problem) => ({ ...problem, message: `--keep: ${problem.message}` })),
      )
    return column.ok ? column.value.values : []
  })
  if (problems.length > 0) return { ok: false, problems }
  return good(
    file.value.rows.map((_, row) =>
      Object.fromEntries(
        factors.flatMap((factor, f) => {
          const value = columns[f]?.[row] ?? null
          if (value === null) return []
          return [[factor.name, factor.kind === 'categorical' ? String(value) : value]]
        }),
      ),
    ),
  )
}
