import type { Factor, Run, StudyInput } from '../contract/things.ts'
import type { Coater, Gauge, HotPlate } from '../contract/tools.ts'
import { studySites } from '../film/site-map.ts'
import { type Random, seeded } from '../random.ts'
import { gaugeDefaults, studyDefaults } from '../study-defaults.ts'
import { type DemoMonitor, demoMonitor } from './demo-monitor.ts'
import {
  plateSurfaceOffset,
  type SimulatedReading,
  type SimulatedRun,
  simulateReadings,
} from './invented-readings.ts'
import { mainSegment } from './spin-program.ts'

/** A coated and measured wafer of the demo. */
export type DemoRun = Pick<Run, 'code' | 'kind' | 'plateVisit' | 'lot' | 'session' | 'note'> & {
  settings: { speed: number; time: number; bake: number }
  readings: SimulatedReading[]
}

/** The demo study as plain data, tools without their ids: the film, the tools and all numbers are invented. */
export type DemoScenario = {
  study: StudyInput
  coater: Omit<Coater, 'id'>
  hotPlate: Omit<HotPlate, 'id'>
  gauge: Omit<Gauge, 'id'>
  factors: Factor[]
  stages: { title: string; runs: DemoRun[] }[]
  monitor: DemoMonitor
}

const coater: DemoScenario['coater'] = {
  name: 'C2',
  maxSpeed: 6000,
  maxRamp: 3000,
  rampInside: true,
  speedStep: 10,
  limitsConfirmed: false,
}

const hotPlate: DemoScenario['hotPlate'] = {
  name: 'P1',
  maxTemperature: 300,
  surfaceOffset: plateSurfaceOffset,
  offsets: [],
  heatRate: 6,
  coolRate: 1.5,
  soak: 10,
  limitsConfirmed: false,
}

const gauge: DemoScenario['gauge'] = {
  ...gaugeDefaults,
  name: 'Reflectometer',
  repeatability: 1,
  reload: 1,
  calibration: 0.003,
  rangeLow: 50,
  rangeHigh: 20000,
}

const study: StudyInput = {
  name: 'Resist K-15, 1.5 µm (simulated)',
  question: 'Which speed, spin time and bake give an even film of 1500 nm?',
  targetNm: 1500,
  toleranceNm: 30,
  targetAfter: 'bake',
  uniformityLimit: 1,
  uniformityFormula: 'halfRangeOverMean',
  substrate: 'Silicon wafer, flat down',
  substrateShape: 'flat',
  diameterMm: 100,
  widthMm: null,
  heightMm: null,
  edgeExclusionMm: 6,
  siteMap: '9',
  lineDirection: 0,
  ownSites: null,
  readAfter: 'bake',
  readIndex: null,
  resist: 'K-15',
  resistLimits: studyDefaults.resistLimits,
  lots: ['A', 'B'],
  thicknessUnit: 'nm',
  coaterId: null,
  hotPlateId: null,
  gaugeId: null,
  chuckMm: 60,
  program: [
    { rpm: 500, ramp: 500, time: 5 },
    { rpm: 3250, ramp: 1000, time: 40 },
    { rpm: 0, ramp: 1000, time: 5 },
  ],
  steps: studyDefaults.steps,
  bakeTemperature: 100,
  bakeTime: 60,
  coatMl: 3.5,
  purgeMl: 15,
  dummies: 2,
  spares: 5,
  coatMinutes: 6,
  readMinutes: 4,
  slotHours: 4,
  plateAtStart: studyDefaults.plateAtStart,
  bottleId: null,
  bottleMl: 250,
  roomRules: '',
  notes: 'An invented resist on invented tools: every reading in this study is simulated.',
}

const factors: Factor[] = [
  {
    name: 'speed',
    role: 'speed',
    unit: 'rpm',
    kind: 'continuous',
    low: 2000,
    high: 4500,
    levels: 3,
    levelNames: [],
    step: 10,
    scale: 'linear',
    hardToChange: false,
  },
  {
    name: 'time',
    role: 'time',
    unit: 's',
    kind: 'continuous',
    low: 20,
    high: 60,
    levels: 3,
    levelNames: [],
    step: 1,
    scale: 'linear',
    hardToChange: false,
  },
  {
    name: 'bake',
    role: 'bake temperature',
    unit: '°C',
    kind: 'continuous',
    low: 90,
    high: 110,
    levels: 3,
    levelNames: [],
    step: 1,
    scale: 'linear',
    hardToChange: true,
  },
]

type Wafer = Omit<DemoRun, 'code' | 'readings'> & Pick<SimulatedRun, 'openings' | 'waferSinceClean'>

/**
 * The demo study: a face-centred sweep of speed, spin time and bake on one day, and a check of lot B against
 * lot A on another, and the recipe watched over eight weeks. The same seed gives the same readings.
 */
export function demoScenario(seed = 7): DemoScenario {
  const random = seeded(seed)
  const wafers = [...sweep(random), ...lotCheck()]
  const main = study.program[mainSegment(study.program)]
  if (!main) throw new Error('The demo program has no segment that sets the thickness.')
  const readings = simulateReadings({
    runs: wafers.map((wafer) => ({
      session: wafer.session ?? '',
      plateVisit: wafer.plateVisit ?? 0,
      speed: wafer.settings.speed,
      ramp: main.ramp,
      segmentTime: wafer.settings.time,
      bakeDisplay: wafer.settings.bake,
      bakeTime: study.bakeTime,
      lot: wafer.lot ?? '',
      openings: wafer.openings,
      waferSinceClean: wafer.waferSinceClean,
      lidOpen: false,
    })),
    sites: studySites(study),
    outline: study,
    random,
  })
  const runs = wafers.map(({ openings, waferSinceClean, ...wafer }, i): DemoRun => {
    const note = `Wafer ${waferSinceClean} since the bowl was cleaned, bottle opened ${openings} ×.`
    return {
      ...wafer,
      code: `W${String(i + 1).padStart(2, '0')}`,
      note,
      readings: readings[i] as SimulatedReading[],
    }
  })
  const ofSession = (session: string) => runs.filter((run) => run.session === session)
  return {
    study,
    coater,
    hotPlate,
    gauge,
    factors,
    stages: [
      { title: 'Face-centred sweep, grouped by plate temperature', runs: ofSession(sweepDay) },
      { title: 'New lot B beside lot A', runs: ofSession(lotDay) },
    ],
    monitor: demoMonitor({ study, ramp: main.ramp, firstCode: runs.length + 1, random }),
  }
}

const sweepDay = 'Day 1'
const lotDay = 'Day 2'

/** Eighteen wafers after two dummies, random within each of four plate visits; the bottle is opened twice. */
function sweep(random: Random): Wafer[] {
  const at = (kind: Run['kind'], speed: number, time: number, bake: number) => ({
    kind,
    settings: { speed, time, bake },
  })
  const centre = at('centre', 3250, 40, 100)
  const allAt = (bake: number) => [
    at('factorial', 2000, 20, bake),
    at('factorial', 4500, 20, bake),
    at('factorial', 2000, 60, bake),
    at('factorial', 4500, 60, bake),
    at('star', 3250, 40, bake),
  ]
  const visits = [
    [at('star', 2000, 40, 100), at('star', 4500, 40, 100), centre, centre],
    allAt(90),
    allAt(110),
    [at('star', 3250, 20, 100), at('star', 3250, 60, 100), centre, centre],
  ]
  const inOrder = visits.flatMap((visit, v) => random.shuffled(visit).map((run) => ({ run, visit: v + 1 })))
  return inOrder.map(({ run, visit }, i) => ({
    ...run,
    plateVisit: visit,
    lot: 'A',
    session: sweepDay,
    note: '',
    openings: visit <= 2 ? 1 : 2,
    waferSinceClean: study.dummies + 1 + i,
  }))
}

/**
 * Four old and four new at the recipe, two and two at one more speed, after two dummies from fresh bottles. The
 * order old, new, new, old keeps a steady drift out of the difference.
 */
function lotCheck(): Wafer[] {
  const order = ['A', 'B', 'B', 'A']
  const wafers = [
    ...[...order, ...order].map((lot) => ({ lot, speed: 3280 })),
    ...order.map((lot) => ({ lot, speed: 2500 })),
  ]
  return wafers.map(({ lot, speed }, i) => ({
    kind: 'by hand',
    settings: { speed, time: 40, bake: 100 },
    plateVisit: 5,
    lot,
    session: lotDay,
    note: '',
    openings: 1,
    waferSinceClean: study.dummies + 1 + i,
  }))
}
