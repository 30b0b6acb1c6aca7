import type { Plan } from '../../shared/contract/results/plan.ts'
import type { DesignSettings } from '../../shared/contract/things.ts'
import { evaluationInWords } from './plan-evaluation.ts'
import { timelineInWords } from './plan-timeline.ts'
import { type Cell, digits, numeric, percent, printTable } from './print.ts'

/** A plan in tables: the runs in order, what they can tell, what they cost. */
export function planInWords(made: Plan, { sigma, start }: DesignSettings): string {
  return [
    runTable(made),
    [made.designInWords, made.orderInWords].filter((text) => text !== '').join('\n'),
    ...visitsInWords(made),
    evaluationInWords(made, sigma),
    budgetInWords(made),
    timelineInWords(made, start ?? null),
    `Seed ${made.seed}: the same seed gives the same plan.`,
  ].join('\n\n')
}

function runTable({ factors, runs }: Plan): string {
  const blocks = runs.some((run) => run.block !== 1)
  const visits = runs.some((run) => run.plateVisit !== null)
  const sessions = runs.some((run) => run.session !== null)
  return printTable(
    [
      numeric('run'),
      numeric('standard'),
      ...(blocks ? [numeric('block')] : []),
      ...(visits ? [numeric('plate visit')] : []),
      ...(sessions ? ['session'] : []),
      'kind',
      ...factors.map(({ name, unit, kind }) => {
        const heading = unit === '' ? name : `${name} (${unit})`
        return kind === 'continuous' ? numeric(heading) : heading
      }),
    ],
    runs.map((run): Cell[] => [
      String(run.runOrder),
      String(run.standardOrder),
      ...(blocks ? [String(run.block)] : []),
      ...(visits ? [run.plateVisit === null ? null : String(run.plateVisit)] : []),
      ...(sessions ? [run.session] : []),
      run.kind,
      ...factors.map(({ name }) => shown(run.settings[name])),
    ]),
  )
}

const shown = (setting: number | string | undefined): string =>
  typeof setting === 'number' ? String(Number(setting.toPrecision(6))) : (setting ?? '–')

/** The numbers of visits compared, with what one more costs and brings. */
function visitsInWords({ visitChoices: choices }: Plan): string[] {
  if (choices === undefined || choices.length < 2) return []
  const table = printTable(
    [
      numeric('visits'),
      numeric('precision (of the best)'),
      numeric('df between visits'),
      numeric('time (h)'),
      '',
    ],
    choices.map((choice): Cell[] => [
      String(choice.visits),
      percent(choice.relativeEfficiency),
      String(choice.plateVisitDf),
      digits(choice.minutes / 60, 2),
      choice.chosen ? 'chosen' : '',
    ]),
  )
  return [
    'Numbers of visits compared; the fewest are chosen that reach 90 % of the best precision and leave 2 degrees\n' +
      `of freedom between visits. --visits N takes another.\n${table}`,
  ]
}

function budgetInWords({ budget }: Plan): string {
  const { substrates, resistMl, leftInBottleMl: left, openings, minutes, plateChanges, assumptions } = budget
  const plate = plateChanges === null ? '' : `, ${plateChanges} plate changes`
  const bottle =
    left === null
      ? ''
      : left < 0
        ? ` (${digits(-left, 3)} mL more than the bottle holds)`
        : ` (${digits(left, 3)} mL stay in the bottle, opened ${openings === 1 ? 'once' : `${openings} times`})`
  return [
    `Cost: ${substrates} substrates, ${digits(resistMl, 3)} mL of resist${bottle}, ${digits(minutes / 60, 2)} h${plate}.`,
    ...assumptions.map((assumption) => `  ${assumption}`),
  ].join('\n')
}
