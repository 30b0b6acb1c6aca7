import { type ComputationName, computations } from '../../electron/engine/compute/computations.ts'
import type { Workers } from '../../electron/engine/compute/workers.ts'
import type { Engine } from '../../electron/engine/engine.ts'
import type { Args, CallName, Result } from '../../shared/contract.ts'
import { type Answer, refuse } from '../../shared/problem.ts'
import { bake, design, speed, time } from './studies-for-tests.ts'

/** Computations that look at the database, or whose results are written to it; the others need no time here. */
const worked: ComputationName[] = [
  ...(['planWithoutWays', 'importFile', 'readStudy', 'writtenStudy', 'backup', 'comparison'] as const),
  ...(['lookAtTraces', 'scansOfFiles', 'evaluatedScans', 'nextRun', 'keptRecipe', 'confirmation'] as const),
]

/** Works on the thread of the engine itself, so that what is prepared there can be seen. */
export const onThisThread: Workers = {
  async compute({ computation, input }) {
    if (!worked.includes(computation)) return refuse('notWorked', 'Nothing is computed on this tour.')
    const work = computations[computation] as (input: unknown, tell: () => void) => Promise<Answer<unknown>>
    return work(input, () => {})
  },
  close: async () => {},
}

type Ok = <N extends CallName>(name: N, args: Args<N>) => Promise<Result<N>>
type Guide = {
  /** A call that is answered. */
  ok: Ok
  /** Calls whose computation is left out here: what they read first is read. */
  asked(args: Partial<{ [N in CallName]: Args<N> }>): Promise<void>
}

/** Does once what a person does with the program; the names of the calls that it took. */
export async function tour(engine: Engine): Promise<Set<CallName>> {
  const called = new Set<CallName>()
  const call = (name: CallName, args: unknown) => {
    called.add(name)
    return engine.call(name, args, 'page', `${name} ${called.size} ${JSON.stringify(args)}`)
  }
  const guide: Guide = {
    async ok(name, args) {
      const answer = await call(name, args)
      if (!answer.ok) throw new Error(`${name}: ${answer.problems[0]?.message}`)
      return answer.value as Result<typeof name>
    },
    async asked(calls) {
      for (const [name, args] of Object.entries(calls)) {
        const answer = await call(name as CallName, args)
        if (!answer.ok && answer.problems[0]?.code !== 'notWorked')
          throw new Error(`${name}: ${answer.problems[0]?.message}`)
      }
    },
  }
  const { ok } = guide
  const { studyId: demoId } = await ok('studies.demo', { seed: 7 })
  const study = { name: 'Tour', targetNm: 1500, toleranceNm: 30, lots: ['A', 'B'] }
  const { studyId } = await ok('studies.create', { study })
  await atTheTools(guide, studyId)
  await atTheGauge(guide, studyId)
  await planned(guide, studyId)
  const runs = (await ok('bench.runs', { studyId })).map(({ id }) => id) as [string, string, string, string]
  await atTheBench(guide, studyId, runs)
  await inTheHistory(guide, studyId, runs[0])
  await broughtIn(guide, studyId, runs)
  await judged(guide, demoId)
  await passedOn(guide, studyId)
  await guide.asked({ 'application.about': {}, 'studies.list': {}, 'studies.findRuns': { words: 'W' } })
  return called
}

async function atTheTools({ ok, asked }: Guide, studyId: string) {
  const { id: coaterId } = await ok('tools.saveCoater', { coater: { name: 'C1' }, studyId })
  const { id: hotPlateId } = await ok('tools.saveHotPlate', { hotPlate: { name: 'P1' } })
  const { id: gaugeId } = await ok('tools.saveGauge', { gauge: { name: 'G1' } })
  await ok('tools.saveGauge', { gauge: { id: gaugeId, name: 'G1', reload: 1 } })
  const { id: bottleId } = await ok('bottles.keep', { bottle: { name: 'B1', sizeMl: 500 } })
  await ok('studies.update', { studyId, change: { coaterId, hotPlateId, gaugeId, bottleId } })
  await ok('studies.setArchived', { studyId, archived: true })
  const session = { name: 'Day 1', day: '2026-03-02', operator: 'R.', note: '', bottleId }
  await ok('sessions.keep', { studyId, session: { ...session, roomTemperature: 21, humidity: 45 } })
  const visit = { number: 1, display: 100, surface: 99, setAt: '09:00', note: '' }
  await ok('sessions.keepVisit', { studyId, visit })
  await ok('bottles.note', { studyId, bottleId, session: 'Day 1', kind: 'poured', ml: 20 })
  const [event] = await ok('bottles.events', { bottleId })
  await ok('events.takeBack', { studyId, eventId: event?.id as string })
  await asked({ 'bottles.list': { studyId, session: 'Day 1' }, 'tools.list': {}, 'studies.get': { studyId } })
}

async function atTheGauge({ ok, asked }: Guide, studyId: string) {
  const { gauges } = await ok('tools.list', {})
  const gaugeId = gauges.find(({ name }) => name === 'G1')?.id as string
  const size = { wafers: ['1', '2'], operators: ['R.'], reloads: 2, scans: 2 }
  const { id: gaugeStudyId } = await ok('gauges.startStudy', {
    studyId,
    study: { gaugeId, ...size, toleranceNm: 10, note: '' },
  })
  const places = [1, 2].flatMap((wafer) =>
    [1, 2].flatMap((reload) => [1, 2].map((scan) => ({ wafer, operator: 1, reload, scan }))),
  )
  const readings = places.map((place, i) => ({ ...place, text: `${1500 + 10 * place.wafer + (i % 3)}` }))
  const entered = { studyId, gaugeStudyId, unit: 'nm', readings }
  await ok('gauges.enterReadings', entered)
  await ok('gauges.changeStudy', { studyId, gaugeStudyId, change: { note: 'Done' } })
  const standard = { name: 'Oxide', nominalNm: 500, uncertaintyNm: 1, note: '' }
  const { id: standardId } = await ok('gauges.saveStandard', { studyId, standard })
  const log = { studyId, gaugeId, standardId }
  const days = ['2026-03-02', '2026-03-03', '2026-03-04']
  const logged = days.map((day, i) => ({ day, text: `${500 + i}`, unit: 'nm' }))
  await ok('gauges.enterCheckReadings', { ...log, readings: logged })
  const [shown] = await ok('gauges.checkLog', { gaugeId })
  await ok('gauges.withdrawCheckReadings', { studyId, readingIds: [shown?.readings[0]?.id as string] })
  await asked({
    'gauges.studies': { gaugeId },
    'gauges.study': { gaugeStudyId },
    'gauges.studyCsv': { gaugeStudyId },
    'gauges.useStudy': { studyId, gaugeStudyId },
    'gauges.compare': { first: gaugeStudyId, second: gaugeStudyId },
    'gauges.checkLogCsv': { gaugeId, standardId },
    'gauges.useCheckLog': log,
    'gauges.removeStudy': { studyId, gaugeStudyId },
  })
}

async function planned({ ok, asked }: Guide, studyId: string) {
  const factors = [speed, time, bake]
  await asked({
    'plans.preview': { studyId, factors, design },
    'plans.rehearse': { studyId, factors, design, targetNm: 1500, toleranceNm: 30, times: 2, seed: 1 },
  })
  const { stageId } = await ok('plans.save', { studyId, factors, design })
  await ok('plans.save', { studyId, factors, design, replaces: stageId })
  await ok('plans.addRun', { studyId, settings: { speed: 3000, time: 40, bake: 100 }, lot: 'A' })
  await ok('plans.practise', { studyId, seed: 1 })
  await asked({ 'plans.remaining': { studyId } })
}

async function atTheBench(
  { ok, asked }: Guide,
  studyId: string,
  runs: readonly [string, string, string, string],
) {
  const [runId, otherRunId, third] = runs
  const session = { session: 'Day 1', substrate: 'S1', state: 'coated' as const }
  await ok('bench.updateRun', { runId, change: session })
  await ok('bench.updateRun', { runId: otherRunId, change: { ...session, session: 'Day 2' } })
  await ok('sessions.putRuns', { studyId, runIds: [otherRunId], session: 'Day 2' })
  const history = await ok('substrates.history', { code: 'S1' })
  const substrate = history?.substrate as { id: string; code: string; kind: string; note: string }
  await ok('substrates.keep', { studyId, substrate: { ...substrate, note: 'Chipped' } })
  await ok('substrates.note', { studyId, substrateId: substrate.id, kind: 'stripped' })
  const readings = Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: `${1500 + i}` }))
  const { readingIds } = await ok('bench.enterReadings', { runId, unit: 'nm', readings })
  await ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: '1490' }] })
  await ok('bench.enterBlock', { studyId, unit: 'nm', runs: [{ runId: third, readings }] })
  const readingId = readingIds[4] as string
  await ok('bench.excludeReading', { readingId, reason: 'A particle' })
  await asked({ 'bench.readings': { studyId }, 'bench.includeReading': { readingId } })
  await ok('bench.exchangeReadings', { runId, otherRunId, reason: 'Boats mixed up' })
  const { readings: now } = await ok('bench.card', { runId: otherRunId })
  await ok('bench.withdrawReadings', { studyId, readingIds: [now[8]?.id as string] })
  const how = { stage: 'bake', takenAfter: 'spin', opticalIndex: 1.6 } as const
  await ok('bench.changeHowRead', { runId: third, ...how })
  await ok('studies.setModel', { studyId, model: 'log(thickness) ~ log(speed)' })
  await asked({ 'bench.maps': { studyId, runIds: [runId] }, 'sessions.list': { studyId } })
  const day = { name: 'First day', day: '', operator: '', note: '', bottleId: null }
  const renamed = { session: { ...day, roomTemperature: null, humidity: null }, renames: 'Day 1' }
  await ok('sessions.keep', { studyId, ...renamed })
  await asked({ 'plans.replan': { studyId, left: { runs: 3 }, bakeOnly: null } })
  const left = [{ settings: { speed: 3000, time: 40, bake: 100 }, plateVisit: 1 }]
  await ok('plans.applyReplan', { studyId, runs: left, reason: 'The slot ends' })
}

async function inTheHistory({ ok, asked }: Guide, studyId: string, runId: string) {
  await asked({ 'history.read': { studyId }, 'history.list': { studyId } })
  await asked({ 'history.read': { studyId, runId }, 'history.list': { studyId: null } })
  for (const call of ['history.undo', 'history.redo'] as const)
    for (const of of [studyId, studyId, null]) await ok(call, { studyId: of })
  // The making of a study is taken back, and made again with none in hand.
  const { studyId: made } = await ok('studies.create', { study: { name: 'Taken back' } })
  await ok('history.undo', { studyId: made })
  await ok('history.redo', { studyId: null })
}

async function broughtIn({ ok, asked }: Guide, studyId: string, runs: readonly string[]) {
  const text = 'run,site,thickness (nm),speed,time,bake\nN1,1,1500,3000,40,100\nN1,2,-1,3000,40,100\n'
  const source = { studyId, fileName: 'a.csv', text }
  await asked({ 'imports.preview': source })
  const { importId } = await ok('imports.commit', source)
  await ok('imports.commit', { studyId, fileName: 'b.csv', text: 'run,T1,T2\nW02,1480,1481\n' })
  await ok('imports.keepMapping', { name: 'Ours', columns: [], options: {} } as never)
  const [mapping] = await ok('imports.mappings', {})
  await asked({ 'imports.list': { studyId }, 'imports.text': { importId } })
  if (mapping) await ok('imports.dropMapping', { mappingId: mapping.id })
  const runId = runs[0] as string
  const points = Array.from({ length: 300 }, (_, i) => `${2 * i};${i > 120 && i < 200 ? -1500 : i % 3}`)
  const scan = { fileName: 'scan.txt', text: ['Lateral (µm);Profile (nm)', ...points].join('\n') }
  await asked({ 'traces.preview': { files: [scan] } })
  const { traceIds } = await ok('traces.import', { runId, site: 2, files: [scan] })
  const traceId = traceIds[0] as string
  await ok('traces.evaluate', { traceIds, choice: { regions: null, bow: true } })
  await ok('traces.leaveOut', { traceId, reason: null })
  await ok('traces.keep', { runId, site: 2 })
  await asked({ 'traces.list': { runId }, 'traces.points': { traceId } })
}

async function judged({ ok, asked }: Guide, studyId: string) {
  const model = 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time'
  const fit = { studyId, response: 'thickness', model }
  const at = { speed: 3000, time: 40, bake: 100 }
  const goal = { target: 1500, tolerance: 30 }
  await ok('studies.setModel', { studyId, model })
  await asked({
    'fits.models': { studyId, response: 'thickness' },
    'fits.table': { studyId },
    'fits.scatter': { studyId },
    'fits.fit': { ...fit, overDays: true },
    'fits.curve': { ...fit, factor: 'speed', at },
    'fits.contour': { ...fit, x: 'time', y: 'bake', at },
    'fits.predict': { ...fit, at: [at] },
    'fits.target': { ...fit, factor: 'speed', at, target: 1500 },
    'fits.transformation': fit,
    'fits.doubts': fit,
    'fits.compareModels': { studyId, response: 'thickness', models: [model] },
    'next.chanceMap': { ...fit, ...goal, x: 'time', y: 'bake', at },
    'next.recipe': { ...fit, ...goal, asked: 0.8 },
    'next.batch': { ...fit, ...goal, aim: 'learn', count: 2, minutesLeft: null },
    'next.confirmations': { studyId },
    'next.ledger': { studyId },
    'lots.history': { studyId },
    'lots.check': { ...fit, margin: 0.01 },
    'lots.decisions': { studyId },
    'recipes.list': { studyId },
  })
  const found = await ok('next.recommend', { ...fit, ...goal, count: 1 })
  const seen = { ...fit, dataHash: found.dataHash }
  await ok('next.take', { ...seen, choices: found.choices.slice(0, 1) })
  const kept = { name: 'Kept', decidedBy: 'R.', reason: 'It is even.', note: '' }
  await ok('recipes.keep', { ...seen, ...goal, settings: at, chance: null, decision: kept })
  await ok('next.planConfirmation', { ...seen, ...goal, settings: at, days: 2, wafersADay: 1 })
  const compare = { ...fit, by: 'lot', target: 1500, margin: 0.01 }
  const { dataHash } = await ok('lots.compare', compare)
  const decision = { lot: 'B', decision: 'accept', who: 'R.', why: 'Equal' } as const
  await ok('lots.decide', { ...compare, ...decision, dataHash })
  await ok('lots.addCheck', { studyId, lot: 'C', against: 'A', each: 2, settings: at })
  const [recipe] = await ok('recipes.list', { studyId })
  const recipeId = recipe?.id as string
  await ok('recipes.monitor', { recipeId })
  await ok('drift.note', { studyId, kind: 'bowl cleaned' })
  await asked({ 'drift.watch': { recipeId }, 'drift.csv': { recipeId } })
  await ok('reports.arrange', { studyId, items: [] })
  await asked({
    'reports.items': { studyId },
    'reports.document': { studyId },
    'reports.runsCsv': { studyId },
    'reports.readingsCsv': { studyId },
    'reports.termsCsv': { studyId },
    'reports.ledgerCsv': { studyId },
    'reports.historyCsv': { studyId },
  })
}

async function passedOn({ ok, asked }: Guide, studyId: string) {
  await asked({ 'studies.hash': { studyId } })
  const { fileName, bytes } = await ok('studies.file', { studyId })
  await asked({ 'studies.lookAtFile': { fileName, bytes } })
  for (const way of ['add', 'copy'] as const) await ok('studies.bringIn', { fileName, bytes, way })
  const { name } = await ok('backups.make', {})
  await asked({ 'backups.list': {}, 'backups.look': { name } })
}
