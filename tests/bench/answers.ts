import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { startEngine } from '../../electron/engine/engine.ts'
import { type AnswersStudy, type Ask, answersStudy, asking } from './answers-study.ts'
import { median, rounded } from './figure.ts'
import { plainFit } from './plain-fit.ts'

/**
 * Milliseconds from a question to its answer on Curves, Next, Lots and in the doubts, in a study of 100 runs of 9 sites,
 * through the engine with its threads and a real database file: `node tests/bench/answers.ts [FILE] [TIMES]` prints
 * JSON, and writes it to the file. `cold` is the first answer after a reading was corrected, `warm` one more of the
 * same kind with nothing changed between; `cpu` is what all threads of the process worked for it. Beside it the bare
 * read of the study's readings from the same file and one least-squares fit of the same size in plain doubles.
 */

const goal = { target: 1500, tolerance: 30 }
const at = { speed: 3000, time: 40, bake: 100, lot: 'A' }

/** Every question by name; `i` moves what a person would move, so that no answer is an earlier one. */
function questionsOf({
  studyId,
  model,
  response,
  recipeId,
}: AnswersStudy): Record<string, (ask: Ask, i: number) => Promise<unknown>> {
  const plain = { studyId, response, model, level: 0.95 }
  const overDays = { ...plain, overDays: true }
  const moved = (i: number) => ({ ...at, speed: 3000 + (i % 100) })
  const aim = (i: number) => ({ ...goal, target: 1500 + (i % 20) })
  const many = Array.from({ length: 200 }, (_, k) => ({ ...at, speed: 2000 + 10 * k }))
  return {
    'Curves: models offered': (ask) => ask('fits.models', { studyId, response }),
    'Curves: table of runs': (ask) => ask('fits.table', { studyId }),
    'Curves: fit over days': (ask) => ask('fits.fit', overDays),
    'Curves: fit by least squares': (ask) => ask('fits.fit', plain),
    'Curves: fit with variances of groups': (ask) =>
      ask('fits.fit', { ...plain, random: 'session/plateVisit' }),
    'Curves: robust fit': (ask) => ask('fits.fit', { ...plain, robust: 'huber' }),
    'Curves: curve': (ask, i) => ask('fits.curve', { ...overDays, factor: 'speed', at: moved(i) }),
    'Curves: surface': (ask, i) => ask('fits.contour', { ...overDays, x: 'time', y: 'bake', at: moved(i) }),
    'Curves: one prediction': (ask, i) => ask('fits.predict', { ...overDays, at: [moved(i)] }),
    'Curves: runs moved to the curve': (ask) => ask('fits.predict', { ...overDays, at: many }),
    'Curves: setting for the target': (ask, i) =>
      ask('fits.target', { ...overDays, factor: 'speed', at: moved(i), target: 1500 }),
    'Curves: transformation': (ask) => ask('fits.transformation', plain),
    'Curves: where scatter comes from': (ask) => ask('fits.scatter', { studyId }),
    'Curves: models side by side': async (ask) => {
      const { suggestions } = await ask('fits.models', { studyId, response })
      return ask('fits.compareModels', { studyId, response, models: suggestions.map((each) => each.model) })
    },
    'Curves: doubts': (ask) => ask('fits.doubts', plain),
    'Next: recommended runs': (ask, i) => ask('next.recommend', { ...plain, ...aim(i) }),
    'Next: recipe': (ask, i) => ask('next.recipe', { ...plain, ...aim(i), asked: 0.8 }),
    'Next: batch of 4 to learn': (ask, i) =>
      ask('next.batch', { ...plain, ...aim(i), aim: 'learn', count: 4, minutesLeft: 240 }),
    'Next: batch of 4 to reach': (ask, i) =>
      ask('next.batch', { ...plain, ...aim(i), aim: 'reach', count: 4, minutesLeft: 240 }),
    'Next: ledger': (ask) => ask('next.ledger', { studyId }),
    'Next: confirmations': (ask) => ask('next.confirmations', { studyId }),
    'Lots: comparison': (ask, i) =>
      ask('lots.compare', { ...plain, by: 'lot', target: aim(i).target, margin: 0.01 }),
    'Lots: history': (ask) => ask('lots.history', { studyId }),
    'Lots: plan of a check': (ask, i) => ask('lots.check', { ...plain, margin: 0.01 + i / 1e4 }),
    'Drift: watch': (ask) => ask('drift.watch', { recipeId }),
  }
}

/** What a confirmation takes, which is taken back at once. */
async function planConfirmation(ask: Ask, { studyId, model, response }: AnswersStudy, dataHash: string) {
  const settings = { speed: 3280, time: 40, bake: 100, lot: 'A' }
  const plan = { studyId, response, model, level: 0.95, ...goal, settings, days: 3, wafersADay: 1 }
  await ask('next.planConfirmation', { ...plan, dataHash })
}

type Times = { wall: number[]; cpu: number[] }

async function time(into: Times, work: () => unknown) {
  const before = process.cpuUsage()
  const start = performance.now()
  await work()
  into.wall.push(performance.now() - start)
  const { user, system } = process.cpuUsage(before)
  into.cpu.push((user + system) / 1000)
}

const empty = (): Times => ({ wall: [], cpu: [] })

function summary({ wall, cpu }: Times, baseline: number) {
  const of = (values: number[]) => ({
    median: rounded(median(values)),
    worst: rounded(Math.max(...values)),
  })
  return { wall: of(wall), cpu: of(cpu), ratio: rounded(median(wall) / baseline) }
}

const [file, count = '15'] = process.argv.slice(2)
const times = Number(count)
const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-answers-'))
const databaseFile = join(folder, 'answers.db')
const engine = await startEngine({ databaseFile })
try {
  const ask = asking(engine)
  const study = await answersStudy(ask)
  const { studyId, runId } = study
  const db = new Database(databaseFile, { readonly: true })
  const bareRead = db.prepare(
    'SELECT inForce.* FROM inForce JOIN run ON run.id = inForce.runId WHERE run.studyId = ?',
  )
  const bare = empty()
  for (let i = 0; i < 50; i++)
    await time(bare, () => {
      bareRead.all(studyId)
      plainFit(100, 11)
    })
  db.close()
  const baseline = summary(bare, 1).wall.median
  const changed = (i: number) =>
    ask('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: `${1500 + i}` }] })
  const answers: Record<string, unknown> = {}
  for (const [name, question] of Object.entries(questionsOf(study))) {
    const [cold, warm] = [empty(), empty()]
    for (let i = 0; i < times; i++) {
      await changed(i)
      await time(cold, () => question(ask, 2 * i))
      await time(warm, () => question(ask, 2 * i + 1))
    }
    const bytes = JSON.stringify(await question(ask, 0)).length
    answers[name] = { cold: summary(cold, baseline), warm: summary(warm, baseline), bytes }
    console.error(name)
  }
  const confirmation = empty()
  for (let i = 0; i < times; i++) {
    const { dataHash } = await ask('next.recommend', {
      studyId,
      response: study.response,
      model: study.model,
      level: 0.95,
      ...goal,
    })
    await time(confirmation, () => planConfirmation(ask, study, dataHash))
    await ask('history.undo', { studyId })
  }
  answers['Next: confirmation planned'] = { warm: summary(confirmation, baseline) }
  const result = { runs: 100, sites: 9, times, baseline: summary(bare, baseline), answers }
  const json = `${JSON.stringify(result, null, 1)}\n`
  process.stdout.write(json)
  if (file) writeFileSync(file, json)
} finally {
  await engine.close()
  rmSync(folder, { recursive: true, force: true })
}
