import type { StudyInput } from './contract/things.ts'
import type { Gauge } from './contract/tools.ts'
import { usualSteps } from './process/card-steps.ts'

/** What a coater's speed can be set to, rpm, until its own step is known (common practice, no source). */
export const usualSpeedStep = 10

/** Of a room, °C, and so of a plate that nobody has set (common practice, no source). */
export const usualRoom = 21

/**
 * What a new study starts with where nothing else is said: common practice for a positive resist on 100 mm
 * silicon, no source. All of it can be changed later.
 */
export const studyDefaults: Omit<StudyInput, 'name'> = {
  question: '',
  targetNm: null,
  toleranceNm: null,
  targetAfter: 'bake',
  uniformityLimit: null,
  uniformityFormula: 'halfRangeOverMean',
  substrate: 'silicon',
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
  resist: '',
  resistLimits: {
    speedLow: null,
    speedHigh: null,
    bakeLow: null,
    bakeHigh: null,
    dryingTime: null,
    warmUpMinutes: null,
    openings: null,
  },
  lots: [],
  thicknessUnit: 'nm',
  coaterId: null,
  hotPlateId: null,
  gaugeId: null,
  chuckMm: null,
  program: [
    { rpm: 500, ramp: 500, time: 5 },
    { rpm: 3000, ramp: 1000, time: 40 },
  ],
  steps: usualSteps,
  bakeTemperature: 100,
  bakeTime: 60,
  coatMl: 3.5,
  purgeMl: 15,
  dummies: 2,
  spares: 5,
  coatMinutes: 6,
  readMinutes: 4,
  slotHours: null,
  plateAtStart: usualRoom,
  bottleId: null,
  bottleMl: null,
  roomRules: '',
  notes: '',
}

/** What a new gauge starts with: nothing of it is known. */
export const gaugeDefaults: Omit<Gauge, 'id' | 'name'> = {
  kind: 'reflectometer',
  repeatability: null,
  reload: null,
  calibration: null,
  origins: { repeatability: null, reload: null, calibration: null },
  rangeLow: null,
  rangeHigh: null,
  fringeStep: null,
}
