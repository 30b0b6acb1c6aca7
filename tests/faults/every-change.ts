import { randomUUID } from 'node:crypto'
import type { Args, CallName } from '../../shared/contract.ts'
import type { TestEngine } from '../engine/engine-in-folder.ts'
import { bake, design, model, speed, time } from '../engine/studies-for-tests.ts'
import { computedTrace } from '../unit/film/computed-trace.ts'

/** Makes one change that must be let in. */
type Change = <N extends CallName>(name: N, args: Args<N>) => ReturnType<TestEngine['ok']>

/** Writing calls that are not tried here, each with its reason. */
export const notTried: Partial<Record<CallName, string>> = {
  'history.undo': 'it is what is tried',
  'history.redo': 'it is what is tried',
}

const goal = { target: 1500, tolerance: 30 }

/**
 * Changes by every writing call, on a demo study that is there and on others that come. What is there is read by `ok` of the
 * engine in hand, which the caller may have started again.
 */
export async function changeEverything(engine: () => TestEngine, change: Change): Promise<void> {
  const read = <N extends CallName>(name: N, args: Args<N>) => engine().ok(name, args)
  const made = async <N extends CallName>(name: N, args: Args<N>) =>
    (await change(name, args)) as Awaited<ReturnType<typeof read<N>>>

  const { studyId } = await made('studies.demo', { seed: 7 })
  const question = { studyId, response: 'thickness', model }
  await made('studies.update', {
    studyId,
    change: { targetNm: 1510, lots: ['A', 'B', 'C'], notes: 'a note' },
  })
  await tools()
  await gauges()
  const runIds = await plans()
  await bench(runIds)
  await materials(runIds)
  await imports()
  await judgements()
  await files()

  async function tools() {
    await made('tools.saveCoater', { coater: { name: 'C9', maxSpeed: 5000 } })
    await made('tools.saveHotPlate', { studyId, hotPlate: { name: 'P9', maxTemperature: 250 } })
    const { id } = await made('tools.saveGauge', { studyId, gauge: { name: 'G9', repeatability: 0.002 } })
    await made('studies.update', { studyId, change: { gaugeId: id } })
    await made('tools.saveGauge', { studyId, gauge: { id, name: 'G9 b', reload: 0.001 } })
  }

  async function gauges() {
    const gaugeId = (await read('studies.get', { studyId })).gaugeId as string
    const size = { wafers: ['M1', 'M2'], operators: ['anyone'], reloads: 2, scans: 2 }
    const study = { gaugeId, ...size, toleranceNm: 5, note: '' }
    const { id: gaugeStudyId } = await made('gauges.startStudy', { studyId, study })
    await made('gauges.changeStudy', { studyId, gaugeStudyId, change: { note: 'after a new lamp' } })
    const places = [1, 2].flatMap((wafer) =>
      [1, 2].flatMap((reload) => [1, 2].map((scan) => ({ wafer, operator: 1, reload, scan }))),
    )
    const readings = places.map((place, i) => ({
      ...place,
      text: (1500 + (i % 3) * 0.4 + place.reload).toFixed(1),
    }))
    await made('gauges.enterReadings', { studyId, gaugeStudyId, unit: 'nm', readings })
    await made('gauges.useStudy', { studyId, gaugeStudyId })
    await made('gauges.removeStudy', { studyId, gaugeStudyId })
    const standard = { name: 'Step 500', nominalNm: 500, uncertaintyNm: 0.5, note: '' }
    const { id: standardId } = await made('gauges.saveStandard', { studyId, standard })
    const days = ['2026-03-02', '2026-03-03', '2026-03-04'].map((day, i) => ({
      day,
      text: `501.${i}`,
      unit: 'nm',
    }))
    await made('gauges.enterCheckReadings', { studyId, gaugeId, standardId, readings: days })
    await made('gauges.useCheckLog', { studyId, gaugeId, standardId })
    const [log] = await read('gauges.checkLog', { gaugeId })
    const readingIds = (log?.readings ?? []).slice(0, 1).map(({ id }) => id)
    await made('gauges.withdrawCheckReadings', { studyId, readingIds })
  }

  async function plans(): Promise<string[]> {
    await made('plans.save', { studyId, factors: [speed, time, bake], design })
    const settings = { speed: 3000, time: 30, bake: 100 }
    await made('plans.addRun', { studyId, settings, lot: 'A', note: '' })
    const { runs } = await read('plans.replan', { studyId, left: { runs: 4 }, bakeOnly: null })
    await made('plans.applyReplan', { studyId, runs, reason: 'the plate is stuck' })
    await made('plans.practise', { studyId })
    const all = await read('bench.runs', { studyId })
    return all.filter(({ state }) => state === 'planned').map(({ id }) => id)
  }

  async function bench([runId, otherRunId, third, fourth] = [] as string[]) {
    const [one, two] = [runId as string, otherRunId as string]
    const readings = Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: `150${i}` }))
    await made('bench.updateRun', {
      runId: one,
      change: { session: '2026-03-02 a', substrate: 'S1', note: 'a' },
    })
    await made('bench.enterReadings', { runId: one, unit: 'nm', readings })
    await made('bench.enterReadings', { runId: one, unit: 'nm', readings: [{ site: 1, text: '1555' }] })
    await made('bench.enterBlock', { studyId, unit: 'nm', runs: [{ runId: two, readings }] })
    const [first, second] = (await read('bench.card', { runId: two })).readings.map(({ id }) => id) as [
      string,
      string,
    ]
    await made('bench.excludeReading', { readingId: first, reason: 'a comet' })
    await made('bench.includeReading', { readingId: first })
    await made('bench.excludeReading', { readingId: first, reason: 'a comet after all' })
    await made('bench.withdrawReadings', { studyId, readingIds: [second] })
    await made('bench.exchangeReadings', { runId: one, otherRunId: two, reason: 'boats mixed up' })
    const { readings: now } = await read('bench.card', { runId: one })
    const stage = now[0]?.takenAfter as 'bake'
    await made('bench.changeHowRead', { runId: one, stage, takenAfter: 'spin', opticalIndex: 1.6 })
    await made('bench.updateRun', { runId: third as string, change: { excluded: 'wrong resist' } })
    await made('bench.updateRun', { runId: fourth as string, change: { state: 'failed', defect: 'streak' } })
    await made('sessions.keep', {
      studyId,
      session: {
        ...{ name: '2026-03-02 a', day: '2026-03-02', operator: 'first person', note: '' },
        ...{ roomTemperature: 21, humidity: 45, bottleId: null },
      },
    })
    await made('sessions.putRuns', { studyId, runIds: [two], session: '2026-03-02 a', day: '2026-03-02' })
    const visit = { number: 1, display: 100, surface: 98.5, setAt: '08:30', note: '' }
    await made('sessions.keepVisit', { studyId, visit })
    await traces(two)
  }

  async function traces(runId: string) {
    const scan = (seed: number) => {
      const points = computedTrace({ step: -1500, edges: [500, 700], noise: 4, tilt: 0.5, spacing: 5, seed })
      const lines = points.map(({ position, height }) => `${position};${height}`)
      return { fileName: `${seed}.txt`, text: ['Lateral (µm);Profile (nm)', ...lines].join('\n') }
    }
    const { traceIds } = await made('traces.import', { runId, site: null, files: [scan(1), scan(2)] })
    const choice = { regions: null, bow: true }
    await made('traces.evaluate', { traceIds: traceIds.slice(0, 1), choice })
    await made('traces.leaveOut', { traceId: traceIds[1] as string, reason: 'a particle' })
    await made('traces.keep', { runId, site: null })
  }

  async function materials([runId] = [] as string[]) {
    const bottle = { name: 'B1', resist: 'K-15', lot: 'A', sizeMl: 500, expires: '', openedFirst: '' }
    const session = '2026-03-02 a'
    const { id: bottleId } = await made('bottles.keep', { studyId, session, bottle })
    await made('bottles.note', { studyId, bottleId, kind: 'poured', ml: 50 })
    await made('bottles.keep', { bottle: { name: 'B2' } })
    await made('studies.update', { studyId, change: { bottleId } })
    const events = await read('bottles.events', { bottleId })
    await made('events.takeBack', {
      studyId,
      eventId: events.find(({ kind }) => kind === 'poured')?.id as string,
    })
    const { substrate } = (await read('bench.card', { runId: runId as string })).run
    const kept = await read('substrates.history', { code: substrate as string })
    const own = kept?.substrate as NonNullable<typeof kept>['substrate']
    await made('substrates.keep', { studyId, substrate: { ...own, kind: 'silicon with oxide' } })
    await made('substrates.note', { studyId, substrateId: own.id, kind: 'stripped', text: 'acetone' })
  }

  async function imports() {
    const text = 'run,speed,time,bake,thickness\nN1,3000,30,100,1500\nN2,2500,30,100,1600\n'
    await made('imports.commit', { studyId, fileName: 'a.csv', text })
    const columns = [{ column: 'h', means: 'reading' as const, name: '', unit: 'nm' }]
    await made('imports.keepMapping', { name: 'Gauge 3', columns, options: {} })
    const mappings = await read('imports.mappings', {})
    await made('imports.dropMapping', { mappingId: mappings[0]?.id as string })
  }

  async function judgements() {
    await made('studies.setModel', { studyId, model: question.model })
    await made('studies.update', { studyId, change: { targetNm: 1500, toleranceNm: 30 } })
    const { choices, dataHash } = await read('next.recommend', { ...question, ...goal })
    await made('next.take', { ...question, choices: choices.slice(0, 1), dataHash })
    const settings = { speed: 3280, time: 40, bake: 100 }
    const { dataHash: ofPlan } = await read('fits.fit', { ...question, overDays: true })
    const confirmation = { ...question, ...goal, settings, days: 2, wafersADay: 1, dataHash: ofPlan }
    await made('next.planConfirmation', confirmation)
    const compared = {
      ...question,
      model: 'log(thickness) ~ log(speed)',
      by: 'lot',
      ...{ target: 1500, margin: 0.01 },
    }
    const { dataHash: ofLots } = await read('lots.compare', compared)
    const signed = { lot: 'B', decision: 'accept' as const, who: 'M. Grau', why: 'Within the margin.' }
    await made('lots.decide', { ...compared, ...signed, dataHash: ofLots })
    await made('lots.addCheck', { studyId, lot: 'C', against: 'A', each: 2, settings })
    const withLot = { ...question, model: `${question.model} + lot` }
    const found = await read('next.recipe', { ...withLot, ...goal, asked: 0.8 })
    const decision = { name: 'Thin', decidedBy: 'A. Tester', reason: 'It meets the target.', note: '' }
    const kept = {
      ...withLot,
      ...goal,
      settings: found.recipe.settings,
      chance: 0.8,
      dataHash: found.dataHash,
    }
    const { recipeId } = await made('recipes.keep', { ...kept, decision })
    await made('recipes.monitor', { recipeId })
    const limitsFrom = { from: 1, to: 10 }
    await made('drift.choose', { recipeId, choice: { limitsFrom, rules: ['beyond three'], along: 'days' } })
    await made('drift.note', { studyId, kind: 'bowl cleaned', at: '2026-03-01T12:00:00.000Z' })
    await made('reports.arrange', {
      studyId,
      items: [
        { kind: 'note', id: randomUUID(), text: 'Thin at the rim.' },
        { kind: 'part', part: 'aim' },
      ],
    })
    await made('studies.setArchived', { studyId, archived: true })
  }

  async function files() {
    const { fileName, bytes } = await read('studies.file', { studyId })
    await made('studies.bringIn', { fileName, bytes, way: 'copy' })
    await made('studies.create', { study: { name: 'Another' } })
  }
}
