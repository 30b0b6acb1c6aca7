import {
  designKindWords,
  formulaWords,
  readingStageWords,
  siteMapWords,
  substrateShapeWords,
} from '../words.ts'
import { type Fields, type FieldWords, number, refers, silent, typed, whole, yes } from './field-kinds.ts'

/** Settings of factors by their names. */
export const settings: FieldWords = { name: '', keys: 'settings' }
const formula: FieldWords = {
  name: 'formula of non-uniformity',
  values: Object.fromEntries(Object.entries(formulaWords).map(([name, { short }]) => [name, short])),
}
const stage = (name: string): FieldWords => ({ name, values: readingStageWords })
const program: FieldWords = {
  name: 'spin program',
  each: {
    called: (place) => `segment ${place}`,
    keys: { rpm: number('speed', 'rpm'), ramp: number('ramp', 'rpm/s'), time: number('time', 's') },
  },
}
const shows = {
  nothing: 'nothing',
  dispense: 'the dispense',
  program: 'the spin program',
  bake: 'the bake',
  sites: 'the sites',
}
/** The steps of a run card. */
export const steps: FieldWords = {
  name: 'steps',
  each: {
    called: (place) => `step ${place}`,
    keys: {
      name: typed('name'),
      minutes: number('time', 'min'),
      note: typed('note'),
      shows: { name: 'shows', values: shows },
    },
  },
}

/** What really happened to a run. */
export const actual: Fields = {
  speed: number('actual speed', 'rpm'),
  ramp: number('actual ramp', 'rpm/s'),
  time: number('actual segment time', 's'),
  bakeDisplay: number('actual plate display', '°C'),
  bakeSurface: number('actual plate surface', '°C'),
  bakeTime: number('actual bake time', 's'),
  roomTemperature: number('room', '°C'),
  humidity: number('room humidity', '%'),
  minutesSinceSet: number('since the plate was set', 'min'),
  waferSinceClean: number('wafers since clean bowl'),
  lidOpen: yes('lid was open'),
  operator: typed('operator'),
  deviation: typed('what else was different'),
}

const limits: Fields = {
  speedLow: number('speed from', 'rpm'),
  speedHigh: number('speed to', 'rpm'),
  bakeLow: number('bake from', '°C'),
  bakeHigh: number('bake to', '°C'),
  dryingTime: number('dries at speed in', 's'),
  warmUpMinutes: number('bottle warms up in', 'min'),
  openings: number('openings of a bottle at most'),
}

/** The settings that a stage was planned by. */
export const design: Fields = {
  kind: {
    name: 'kind of design',
    values: Object.fromEntries(Object.entries(designKindWords).map(([kind, { label }]) => [kind, label])),
  },
  replicates: number('replicates'),
  centre: number('centre points'),
  blocks: number('blocks'),
  seed: number('seed of the order'),
  sigma: number('scatter of one run'),
  power: number('chance to see it'),
  model: typed('model in coded factors'),
  fraction: typed('generators'),
  star: { name: 'star points', values: { face: 'on the faces' } },
  runs: number('runs'),
  criterion: { name: 'criterion' },
  forbid: typed('combinations left out'),
  keep: whole('runs already planned'),
  visits: number('plate visits'),
  varianceRatio: number('variance ratio'),
  visitOrder: { name: 'order of plate visits', values: { cheapest: 'least waiting' } },
  sessions: number('sessions'),
  reference: yes('reference wafer first and last'),
  reading: {
    name: 'films are read',
    values: { after: 'after the last coat', meanwhile: 'while the next are coated', later: 'after the slot' },
  },
  start: { name: 'start' },
}

/** What a study asks and on what it is done. */
export const study: Fields = {
  name: typed('name'),
  question: typed('question'),
  targetNm: number('target thickness', 'nm'),
  toleranceNm: number('tolerance ±', 'nm'),
  targetAfter: stage('target is meant after'),
  uniformityLimit: number('non-uniformity at most', '%'),
  uniformityFormula: formula,
  substrate: typed('substrate'),
  substrateShape: { name: 'shape', values: substrateShapeWords },
  diameterMm: number('diameter', 'mm'),
  widthMm: number('width', 'mm'),
  heightMm: number('height', 'mm'),
  edgeExclusionMm: number('edge exclusion', 'mm'),
  siteMap: { name: 'site map', values: siteMapWords },
  lineDirection: number('direction of the line', '°'),
  ownSites: {
    name: 'own site map',
    keys: {
      name: typed('name of the map'),
      sites: {
        name: 'sites',
        each: {
          called: (place, { site }) => `site ${site ?? place}`,
          keys: { site: silent, xMm: number('x', 'mm'), yMm: number('y', 'mm') },
        },
      },
    },
  },
  readAfter: stage('readings are taken after'),
  readIndex: number('refractive index of readings'),
  resist: typed('resist'),
  resistLimits: { name: 'limits of the resist', keys: limits },
  lots: typed('resist lots'),
  thicknessUnit: { name: 'unit of thickness' },
  coaterId: refers('coater', 'coater'),
  hotPlateId: refers('hot plate', 'hotPlate'),
  gaugeId: refers('gauge', 'gauge'),
  chuckMm: number('chuck diameter', 'mm'),
  program,
  steps,
  bakeTemperature: number('bake, display', '°C'),
  bakeTime: number('bake time', 's'),
  coatMl: number('resist for one coat', 'mL'),
  purgeMl: number('purge', 'mL'),
  dummies: number('dummies first'),
  spares: number('spare substrates'),
  coatMinutes: number('coat, bake and cool one', 'min'),
  readMinutes: number('read one', 'min'),
  slotHours: number('hours booked', 'h'),
  plateAtStart: number('plate at the start', '°C'),
  bottleId: refers('bottle', 'bottle'),
  bottleMl: number('resist in the bottle', 'mL'),
  roomRules: typed('the room’s rules'),
  notes: typed('notes'),
  simulated: yes('film is simulated'),
  practice: whole('practice on an invented film'),
  archived: yes('archived'),
  model: typed('model'),
}
