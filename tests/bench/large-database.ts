import { existsSync, statSync } from 'node:fs'
import { openStore, type Store } from '../../electron/engine/store/open.ts'
import { recipesOf } from '../../electron/engine/store/recipes.ts'
import { verifyFile } from '../../electron/engine/store/verify.ts'
import { distributionsReady } from '../../shared/model/distributions.ts'
import { type Random, seeded } from '../../shared/random.ts'
import { type Call, calling, makeLabStudy, planOfStudies, wanted } from './lab-study.ts'

/**
 * Makes a database as large as ten years of a lab: 300 studies, 10,000 runs, 500,000 readings, or a multiple of that,
 * with its history, tools, bottles, imports and a log of check standards. All of it is invented. Calls and store of the
 * program make it: `node tests/bench/large-database.ts FILE [--times 5] [--seed 1]`.
 */

const studiesOfALab = 300
const checkDaysOfALab = 2500
const monitorRuns = 200

export type LargeDatabase = {
  seconds: number
  bytes: number
  studies: number
  runs: number
  readings: number
  steps: number
  changes: number
}

const words = ['Thin', 'Thick', 'Lift-off', 'Etch mask', 'Planar', 'Grating', 'Contact', 'Via', 'Pillar']
const aims = ['sweep', 'new lot', 'after service', 'second plate', 'slow ramp', 'edge', 'transfer', 'repeat']

/** What all studies share. */
type Bench = { coaters: string[]; hotPlates: string[]; gauges: string[]; bottle: (study: number) => string }

function makeBench(
  call: Call,
  random: Random,
  { times, studyId }: { times: number; studyId: string },
): Bench {
  const coaters = ['A', 'B', 'C'].map((name) => call('tools.saveCoater', { coater: { name } }).id)
  const hotPlates = ['1', '2'].map((name) => call('tools.saveHotPlate', { hotPlate: { name } }).id)
  const gauges = ['G1', 'G2'].map((name) => call('tools.saveGauge', { gauge: { name } }).id)
  const standard = { name: 'Oxide 500', nominalNm: 500, uncertaintyNm: 0.5, note: 'Invented' }
  const { id: standardId } = call('gauges.saveStandard', { studyId, standard })
  for (const gaugeId of gauges)
    call('gauges.enterCheckReadings', {
      ...{ studyId, gaugeId, standardId },
      readings: Array.from({ length: Math.max(5, Math.round(checkDaysOfALab * times)) }, (_, day) => ({
        day: new Date(Date.UTC(2016, 0, 4) + 86_400_000 * (day % 3650)).toISOString().slice(0, 10),
        text: (500 + 0.3 * random.normal()).toFixed(2),
        unit: 'nm',
      })),
    })
  const bottles: string[] = []
  return {
    ...{ coaters, hotPlates, gauges },
    // Two studies of a bottle, as long as it lasts.
    bottle(study) {
      const at = Math.floor(study / 2)
      const bottle = { name: `B${1000 + at}`, resist: `K-${10 + (at % 5)}`, lot: `L${at}`, sizeMl: 1000 }
      bottles[at] ??= call('bottles.keep', { bottle }).id
      return bottles[at]
    },
  }
}

/** The demo study, whose recipe is watched by many more monitor runs; its id. */
function makeWatched(call: Call, { db }: Store, random: Random): string {
  const { studyId } = call('studies.demo', { seed: 1 })
  const [recipe] = recipesOf(db, studyId)
  if (!recipe) throw new Error('The demo study has a recipe.')
  call('studies.setModel', { studyId, model: null })
  for (let i = 1; i <= monitorRuns; i++) {
    const { runId } = call('recipes.monitor', { recipeId: recipe.id, session: `Monitor ${i}` })
    const mean = recipe.targetNm * (1 + 0.003 * random.normal())
    const readings = Array.from({ length: 9 }, (_, at) => ({
      site: at + 1,
      text: (mean * (1 + 0.001 * random.normal())).toFixed(1),
    }))
    call('bench.enterReadings', { runId, unit: 'nm', readings })
  }
  return studyId
}

/**
 * Makes the database; it must not be there yet.
 *
 * @param times of a lab's ten years: 0.1 makes 30 studies
 */
export async function makeLargeDatabase(file: string, { times = 1, seed = 1 } = {}): Promise<LargeDatabase> {
  await distributionsReady
  const start = performance.now()
  const store = wanted('open', openStore(file))
  const { db } = store
  db.pragma('synchronous = OFF')
  db.pragma('temp_store = MEMORY')
  const random = seeded(seed)
  const pick = <T>(list: readonly T[]) => list[random.below(list.length)] as T
  const call = calling(store)
  const plan = planOfStudies()
  try {
    const studyId = makeWatched(call, store, random)
    const bench = makeBench(call, random, { times, studyId })
    for (let at = 0; at < Math.round(studiesOfALab * times); at++) {
      const targetNm = 500 + 50 * random.below(40)
      const study = {
        name: `${pick(words)} ${targetNm} nm, ${pick(aims)} ${at + 1}`,
        question: 'Which speed gives the film? (Invented)',
        ...{ targetNm, toleranceNm: 0.02 * targetNm, uniformityLimit: 1, siteMap: '49' as const },
        ...{ lots: ['A', 'B'], resist: `K-${10 + random.below(5)}`, bottleId: bench.bottle(at) },
        ...{ coaterId: pick(bench.coaters), hotPlateId: pick(bench.hotPlates), gaugeId: pick(bench.gauges) },
      }
      db.transaction(() => makeLabStudy(store, { at, study, plan, random })).immediate()
    }
    const count = (table: string) => db.prepare(`SELECT count(*) FROM "${table}"`).pluck().get() as number
    db.pragma('wal_checkpoint(TRUNCATE)')
    return {
      seconds: Math.round((performance.now() - start) / 1000),
      bytes: statSync(file).size,
      ...{ studies: count('study'), runs: count('run'), readings: count('reading') },
      ...{ steps: count('step'), changes: count('change') },
    }
  } finally {
    db.close()
  }
}

if (process.argv[1] === import.meta.filename) {
  const [file] = process.argv.slice(2)
  const option = (name: string) => {
    const at = process.argv.indexOf(`--${name}`)
    return at < 0 ? {} : { [name]: Number(process.argv[at + 1]) }
  }
  if (!file || file.startsWith('--') || existsSync(file))
    throw new Error('Give the name of a file that is not there yet.')
  const made = await makeLargeDatabase(file, { ...option('times'), ...option('seed') })
  console.log(JSON.stringify({ file, ...made, whole: verifyFile(file).ok }, null, 2))
}
