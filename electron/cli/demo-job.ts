import type { FilmSummary } from '../../shared/contract/results/film.ts'
import type { Fit } from '../../shared/contract/results/fit.ts'
import type { Choice } from '../../shared/contract/results/next.ts'
import type { Settings } from '../../shared/contract/things.ts'
import { substrateOf } from '../../shared/film/substrate.ts'
import { summarizeFilm } from '../../shared/film/summarize.ts'
import { type FittedModel, fitModel } from '../../shared/model/fit.ts'
import { lotMargin } from '../../shared/model/lot-margin.ts'
import { compareGroups, type GroupComparison } from '../../shared/model/lots.ts'
import type { Table } from '../../shared/model/table.ts'
import { runCostAfter } from '../../shared/next/cost.ts'
import { recommend } from '../../shared/next/recommend.ts'
import { type Answer, good } from '../../shared/problem.ts'
import type { DemoRun, DemoScenario } from '../../shared/process/demo-scenario.ts'

/** Everything that the demo works out, from plan to lots. */
export type DemoJob = {
  scenario: DemoScenario
  wafers: DemoRun[]
  /** Wafers of the sweep, which the curve is fitted to. */
  sweep: DemoRun[]
  /** By wafer. */
  films: FilmSummary[]
  model: FittedModel
  report: Fit
  next: Choice[]
  comparison: GroupComparison
}

/** The surface of the sweep: powers and a saturating time in the factors' own units. */
const sweepModel = 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time'
const lotModel = 'log(thickness) ~ log(speed)'
/** Fits the sweep, recommends the next run, compares the lots. */
export function runDemo(scenario: DemoScenario): Answer<DemoJob> {
  const { study, stages } = scenario
  const wafers = stages.flatMap((stage) => stage.runs)
  const sweep = stages[0]?.runs ?? []
  const films = wafers.map((wafer) =>
    summarizeFilm({
      id: wafer.code,
      readings: wafer.readings.map(({ site, xMm, yMm, valueNm }) => ({
        row: site,
        x: xMm,
        y: yMm,
        value: valueNm,
      })),
      ...substrateOf(study),
      gauge: scenario.gauge,
    }),
  )
  const target = study.targetNm ?? 0
  const model = fitModel({ table: tableOf(sweep, films), model: sweepModel })
  if (!model.ok) return model
  const tested = sweep.map((wafer): Settings => wafer.settings)
  const last = tested.at(-1)
  const next = recommend({
    model: model.value,
    region: scenario.factors,
    target,
    tolerance: study.toleranceNm ?? 0,
    tested,
    costOf: runCostAfter({
      factors: scenario.factors,
      bench: {
        ...study,
        holdBakeTemperature: study.bakeTemperature,
        hotPlate: scenario.hotPlate,
      },
      ...(last ? { last } : {}),
    }),
  })
  if (!next.ok) return next
  const { choices } = next.value
  const lots = wafers.slice(sweep.length)
  const comparison = compareGroups({
    table: tableOf(lots, films.slice(sweep.length)),
    model: lotModel,
    by: 'lot',
    target,
    margin: lotMargin(study).margin,
    speedStep: scenario.coater.speedStep,
    overDays: { thickness: true },
  })
  if (!comparison.ok) return comparison
  return good({
    scenario,
    wafers,
    sweep,
    films,
    model: model.value,
    report: model.value.report(choices.slice(0, 1).map((choice) => choice.settings)),
    next: choices,
    comparison: comparison.value,
  })
}

function tableOf(wafers: DemoRun[], films: FilmSummary[]): Table {
  const factor = (name: 'speed' | 'time' | 'bake', unit: string) => ({
    name,
    unit,
    values: wafers.map(({ settings }) => settings[name]),
  })
  return {
    columns: [
      factor('speed', 'rpm'),
      factor('time', 's'),
      factor('bake', '°C'),
      { name: 'lot', values: wafers.map(({ lot }) => lot) },
      { name: 'session', values: wafers.map(({ session }) => session) },
      { name: 'thickness', unit: 'nm', values: films.map(({ mean }) => mean) },
    ],
    rows: wafers.length,
  }
}
