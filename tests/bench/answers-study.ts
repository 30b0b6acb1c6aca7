import type { Engine } from '../../electron/engine/engine.ts'
import type { Args, CallName, Result } from '../../shared/contract.ts'
import { siteMap } from '../../shared/film/site-map.ts'
import { seeded } from '../../shared/random.ts'
import { bake, design, speed, time } from '../engine/studies-for-tests.ts'

export type Ask = <N extends CallName>(name: N, args: Args<N>) => Promise<Result<N>>

/** Asks the engine, and throws what it refuses. */
export function asking(engine: Engine): Ask {
  return async (name, args) => {
    const answer = await engine.call(name, args)
    if (!answer.ok) throw new Error(`${name}: ${answer.problems[0]?.message}`)
    return answer.value as Result<typeof name>
  }
}

export type AnswersStudy = {
  studyId: string
  recipeId: string
  model: string
  response: 'thickness'
  /** A run of the fit, and a text for its first site. */
  runId: string
}

const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 })
const days = 4
const model = 'log(thickness) ~ (log(speed) + time + bake)^2 + log(speed)^2 + time^2 + bake^2 + lot'

/**
 * A study of 100 runs of 9 sites in 3 factors, 4 sessions and 2 lots, with two earlier ones on the same tools, a recipe
 * with 12 monitor runs, a confirmation and a ledger; the numbers are invented.
 */
export async function answersStudy(ask: Ask): Promise<AnswersStudy> {
  const { id: coaterId } = await ask('tools.saveCoater', { coater: { name: 'C1' } })
  const { id: hotPlateId } = await ask('tools.saveHotPlate', { hotPlate: { name: 'P1' } })
  const grid = async (name: string, levels: [number, number, number], seed: number) => {
    const study = { name, coaterId, hotPlateId, targetNm: 1500, toleranceNm: 30, uniformityLimit: 1 }
    const { studyId } = await ask('studies.create', { study: { ...study, lots: ['A', 'B'], resist: 'K-15' } })
    const factors = [speed, time, bake].map((factor, i) => ({ ...factor, levels: levels[i] as number }))
    await ask('plans.save', { studyId, factors, design: { ...design, blocks: days, seed } })
    await measure(ask, studyId, seed)
    await ask('studies.setModel', { studyId, model })
    return studyId
  }
  await grid('Before', [3, 3, 4], 3)
  await grid('Between', [3, 3, 4], 5)
  const studyId = await grid('Answers', [5, 5, 4], 7)
  const question = { studyId, response: 'thickness' as const, model, level: 0.95 }
  const goal = { target: 1500, tolerance: 30 }
  const found = await ask('next.recipe', { ...question, ...goal, asked: 0.8 })
  const { settings } = found.recipe
  const decision = { name: 'Kept', decidedBy: 'A. Person', reason: 'It meets the target.', note: '' }
  const { recipeId } = await ask('recipes.keep', {
    ...{ ...question, ...goal, settings, decision },
    ...{ chance: found.recipe.chance.both, dataHash: found.dataHash },
  })
  for (let i = 0; i < 12; i++) await ask('recipes.monitor', { recipeId, session: `Monitor ${i + 1}` })
  const { choices, dataHash } = await ask('next.recommend', { ...question, ...goal })
  await ask('next.take', { ...question, choices, dataHash })
  await ask('next.planConfirmation', { ...question, ...goal, settings, days: 3, wafersADay: 1, dataHash })
  await measure(ask, studyId, 11)
  const [first] = await ask('bench.runs', { studyId })
  const runId = first?.id as string
  return { studyId, recipeId, model, response: 'thickness', runId }
}

/** Coats and reads all runs that are not read yet, a block a session and lots in turn unless the run names them. */
async function measure(ask: Ask, studyId: string, seed: number) {
  const random = seeded(seed)
  const ofDay = Array.from({ length: days }, () => 0.005 * random.normal())
  const runs = (await ask('bench.runs', { studyId })).filter(({ readings }) => readings === 0)
  for (const [i, { id, block, session, kind }] of runs.entries()) {
    const day = `Day ${((block - 1) % days) + 1}`
    const own =
      kind === 'factorial'
        ? { session: day, lot: i % 2 === 0 ? 'A' : 'B' }
        : { session: session ?? `After ${block}` }
    await ask('bench.updateRun', { runId: id, change: own })
  }
  const told = await ask('bench.runs', { studyId })
  const read = runs.map(({ id, block, settings }) => {
    const { lot } = told.find((run) => run.id === id) as { lot: string | null }
    const [rpm, seconds, degrees] = [settings.speed, settings.time, settings.bake].map(Number) as [
      number,
      number,
      number,
    ]
    const mean =
      1500 *
      (rpm / 3000) ** -0.52 *
      (1 + 0.25 * Math.exp(-seconds / 18)) *
      (1 - 0.003 * (degrees - 100)) *
      (lot === 'B' ? 1.018 : 1) *
      Math.exp((ofDay[(block - 1) % days] as number) + 0.0035 * random.normal())
    const bowl = 0.001 + 0.006 * ((rpm - 3000) / 1000) + 0.0012 * random.normal()
    return {
      runId: id,
      readings: sites.map(({ site, xMm, yMm }) => {
        const share = (xMm ** 2 + yMm ** 2) / 2500
        const film = mean * (1 + bowl * (2 * share - 1) + 0.0012 * random.normal())
        return { site, text: film.toFixed(1) }
      }),
    }
  })
  await ask('bench.enterBlock', { studyId, unit: 'nm', runs: read })
}
