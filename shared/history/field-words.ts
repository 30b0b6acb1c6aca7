import { ruleWords } from '../drift/drift-words.ts'
import { decisionWords } from '../model/lot-words.ts'
import {
  designKindWords,
  formulaWords,
  readingStageWords,
  roleWords,
  runKindWords,
  siteMapWords,
  substrateShapeWords,
} from '../words.ts'

/** How a field is called on the page, and how what it holds is said. */
export type FieldWords = {
  name: string
  unit?: string
  /** It names a row of that table. */
  refers?: string
  /** Words for its values. */
  values?: Record<string, string>
  /** It holds 0 or 1. */
  yes?: [no: string, yes: string]
  /** It holds what a person typed. */
  typed?: boolean
  moment?: boolean
  /** It holds an object: its keys, or all that there are, of which `units` may know the unit. */
  keys?: Record<string, FieldWords> | 'settings' | 'moments'
  /** It holds a list of objects: how one is called, by its place from 1. */
  each?: {
    called: (place: number, item: Record<string, unknown>) => string
    keys: Record<string, FieldWords>
  }
  /** Too much to be told: only that it is new. */
  whole?: true
  /** It goes with another field, or says nothing to a person. */
  silent?: true
}
type Fields = Record<string, FieldWords>

const typed = (name: string): FieldWords => ({ name, typed: true })
const number = (name: string, unit = ''): FieldWords => ({ name, unit })
const yes = (name: string): FieldWords => ({ name, yes: ['no', 'yes'] })
const refers = (name: string, table: string): FieldWords => ({ name, refers: table })
const moment = (name: string): FieldWords => ({ name, moment: true })
const whole = (name: string): FieldWords => ({ name, whole: true })
const silent: FieldWords = { name: '', silent: true }

const settings: FieldWords = { name: '', keys: 'settings' }
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
const steps: FieldWords = {
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

const actual: Fields = {
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

const design: Fields = {
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

const origin = (name: string): FieldWords => ({
  name,
  keys: { df: number('degrees of freedom'), from: typed('source') },
})

const study: Fields = {
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

const reading: Fields = {
  runId: refers('run', 'run'),
  takenAfter: stage('taken after'),
  opticalIndex: number('refractive index'),
}

/** The fields of every table that is recorded; a column that does not stand here is silent. */
export const fieldWords: Record<string, Fields> = {
  coater: {
    name: typed('name'),
    maxSpeed: number('speed at most', 'rpm'),
    maxRamp: number('acceleration at most', 'rpm/s'),
    rampInside: { name: 'the time of a segment', yes: ['starts after its ramp', 'includes its ramp'] },
    speedStep: number('speed is set in steps of', 'rpm'),
    limitsConfirmed: yes('limits confirmed'),
  },
  hotPlate: {
    name: typed('name'),
    maxTemperature: number('temperature at most', '°C'),
    surfaceOffset: number('surface minus display', '°C'),
    offsets: {
      name: 'probed',
      each: {
        called: (place) => `probed row ${place}`,
        keys: { display: number('display', '°C'), surface: number('surface', '°C') },
      },
    },
    heatRate: number('heats by', '°C/min'),
    coolRate: number('cools by', '°C/min'),
    soak: number('settles for', 'min'),
    limitsConfirmed: yes('limits confirmed'),
  },
  gauge: {
    name: typed('name'),
    kind: { name: 'kind' },
    repeatability: number('repeatability', 'nm'),
    reload: number('reload', 'nm'),
    calibration: number('calibration, share of the thickness'),
    origins: {
      name: '',
      keys: {
        repeatability: origin('repeatability'),
        reload: origin('reload'),
        calibration: origin('calibration'),
      },
    },
    rangeLow: number('reads from', 'nm'),
    rangeHigh: number('reads up to', 'nm'),
    fringeStep: number('fringe step', 'nm'),
  },
  gaugeStudy: {
    gaugeId: refers('gauge', 'gauge'),
    wafers: typed('wafers'),
    operators: typed('operators'),
    reloads: number('reloads'),
    scans: number('scans'),
    seed: number('seed of the order'),
    toleranceNm: number('tolerance ±', 'nm'),
    note: typed('note'),
  },
  checkStandard: {
    name: typed('name'),
    nominalNm: number('certified thickness', 'nm'),
    uncertaintyNm: number('standard uncertainty', 'nm'),
    note: typed('note'),
  },
  bottle: {
    name: typed('name or number'),
    resist: typed('resist'),
    lot: typed('lot'),
    sizeMl: number('size', 'mL'),
    expires: typed('good until'),
    openedFirst: typed('first opened'),
  },
  substrate: { code: typed('code'), kind: typed('what it is'), note: typed('note') },
  study,
  factor: {
    position: number('place among the factors'),
    name: typed('name'),
    role: {
      name: 'what it sets',
      values: Object.fromEntries(Object.entries(roleWords).map(([role, { label }]) => [role, label])),
    },
    unit: typed('unit'),
    kind: { name: 'kind', values: { continuous: 'by range', categorical: 'by name' } },
    low: number('low'),
    high: number('high'),
    levels: number('levels'),
    levelNames: typed('names of the levels'),
    step: number('step'),
    scale: { name: 'scale' },
    hardToChange: yes('hard to change'),
  },
  stage: {
    position: number('place among the stages'),
    kind: { name: 'kind' },
    title: typed('title'),
    design: { name: 'design', keys: design },
  },
  recipe: {
    settings,
    lot: typed('lot'),
    targetNm: number('target', 'nm'),
    toleranceNm: number('tolerance ±', 'nm'),
    decidedBy: typed('decided by'),
    reason: typed('reason'),
    note: typed('note'),
  },
  run: {
    code: typed('code'),
    stageId: refers('stage', 'stage'),
    settings,
    lot: typed('lot'),
    state: { name: 'state', values: { failed: 'failed coat' } },
    session: typed('session'),
    note: typed('note'),
    defect: typed('what is wrong with the film'),
    excluded: typed('left out of fits because'),
    substrateId: refers('substrate', 'substrate'),
    actual: { name: '', keys: actual },
    steps,
    stepsDone: { name: 'done', keys: 'moments' },
    coatedAt: moment('coated at'),
    recipeId: refers('recipe', 'recipe'),
    kind: { name: 'kind', values: runKindWords },
    standardOrder: number('standard order'),
    runOrder: number('run order'),
    block: number('block'),
    plateVisit: number('plate visit'),
  },
  session: {
    name: typed('name'),
    day: typed('day'),
    operator: typed('operator'),
    roomTemperature: number('room', '°C'),
    humidity: number('room humidity', '%'),
    bottleId: refers('bottle', 'bottle'),
    note: typed('note on the session'),
  },
  event: {
    at: moment('when'),
    kind: { name: 'what happened' },
    sessionId: refers('session', 'session'),
    ml: number('volume', 'mL'),
    text: typed('remark'),
  },
  plateVisit: {
    display: number('plate display', '°C'),
    surface: number('plate surface, probed', '°C'),
    setAt: typed('plate set at'),
    note: typed('note on the visit'),
  },
  report: { items: whole('parts') },
  driftChoice: {
    choice: {
      name: '',
      keys: {
        limitsFrom: {
          name: 'limits',
          keys: { from: number('from reading'), to: number('to reading') },
        },
        rules: { name: 'rules', values: ruleWords },
        along: { name: 'trend along' },
      },
    },
  },
  import: {},
  mapping: { name: typed('name'), columns: whole('columns'), options: whole('options') },
  reading,
  exclusion: { reason: typed('left out because') },
  trace: {
    runId: refers('run', 'run'),
    site: number('site'),
    name: typed('name'),
    regions: whole('where the step lies'),
    bow: yes('bow taken out'),
    found: whole('step found'),
    problem: { name: 'no step because' },
    excluded: typed('left out because'),
  },
  readingTrace: { traceId: refers('from scan', 'trace') },
  prediction: {
    runId: refers('run', 'run'),
    settings,
    response: typed('response'),
    estimate: number('predicted'),
    lower: number('lower end'),
    upper: number('upper end'),
    chance: number('chance in tolerance'),
  },
  lotDecision: {
    decision: { name: 'decision', values: decisionWords },
    who: typed('decided by'),
    why: typed('reason'),
  },
  confirmation: {
    settings,
    response: typed('response'),
    target: number('target'),
    tolerance: number('tolerance ±'),
    estimate: number('predicted'),
  },
  gaugeReading: {},
  checkReading: {},
}

/** What is said of a row that is added, where that is not all that it holds. */
export const toldOfNew: Record<string, readonly string[]> = {
  study: ['question', 'targetNm', 'toleranceNm', 'resist', 'simulated'],
  run: ['settings', 'lot', 'session'],
  stage: [],
  factor: ['role', 'unit', 'low', 'high', 'levels', 'levelNames', 'hardToChange'],
  coater: ['maxSpeed', 'maxRamp', 'speedStep'],
  hotPlate: ['maxTemperature', 'surfaceOffset', 'heatRate', 'coolRate', 'soak'],
  gauge: ['kind', 'repeatability', 'rangeLow', 'rangeHigh'],
  substrate: ['kind', 'note'],
  bottle: ['resist', 'lot', 'sizeMl', 'expires', 'openedFirst'],
  checkStandard: ['nominalNm', 'uncertaintyNm', 'note'],
  trace: ['site'],
  report: [],
  mapping: [],
}
