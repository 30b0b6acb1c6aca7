/**
 * What a field may hold where there are only so many words for it. They stand apart from the schemas, so that the page
 * offers them without loading these.
 */

export const nonUniformityFormulas = [
  'halfRangeOverMean',
  'halfRangeOverMidRange',
  'rangeOverMean',
  'halfRangeOverMaximum',
  'rangeOverMaximum',
  'standardDeviationOverMean',
  'threeStandardDeviationsOverMean',
  'standardDeviationOfAllOverMean',
] as const

/**
 * Site maps by name. `9` is 1 + 4 + 4, `9 ring` is 1 + 8; squares are grids, lines go through the centre, and `own`
 * are the sites that the study has of its own.
 */
export const ringMaps = ['5', '9', '9 ring', '13', '17', '25', '49'] as const
export const squareMaps = ['9 square', '25 square', '49 square'] as const
export const lineMaps = ['5 line', '9 line', '13 line', '17 line', '25 line'] as const
export const siteMapNames = [...ringMaps, ...squareMaps, ...lineMaps, 'own'] as const

/** Round with a flat, round with a notch, or a rectangular piece. */
export const substrateShapes = ['flat', 'notch', 'rectangle'] as const

/** The step of the process after which a film is read. */
export const readingStages = ['spin', 'bake', 'develop'] as const

/** What a factor sets on the tools. `other` is anything that the program has no rule for. */
export const factorRoles = ['speed', 'time', 'ramp', 'bake temperature', 'bake time', 'lot', 'other'] as const

export const designKinds = ['full', 'fraction', 'composite', 'box-behnken', 'space', 'optimal'] as const

export const runStates = ['planned', 'coated', 'measured', 'failed', 'dropped'] as const

export const gaugeKinds = ['reflectometer', 'profilometer', 'ellipsometer', 'other'] as const

/** What happens to a bottle of resist, to a substrate, and to what a study is done with. */
export const bottleEventKinds = ['out of the fridge', 'opened', 'poured', 'empty'] as const
export const substrateEventKinds = ['stripped', 'primed'] as const
export const processEventKinds = [
  'bottle opened',
  'fresh bottle',
  'bowl cleaned',
  'plate recalibrated',
  'filter or exhaust',
  'other',
] as const

/** The checks, in the order of the work; those that `check` of the command line makes come first. */
export const checkCodes = [
  'ramp',
  'dwell',
  'speed',
  'chuck',
  'bake',
  'acceleration',
  'reached',
  'resist',
  'total',
  'settle',
  'bowl',
  'bottle',
] as const

/** What readings of a film lie in, from the outside in. */
export const scatterLevels = ['session', 'plateVisit', 'wafer', 'site', 'repeat'] as const

/** What a person says of a lot. */
export const fieldDecisions = ['accept', 'correct speed', 'do not use'] as const

/** What a trend is measured along: readings or days since the last event, or openings of the bottle. */
export const trendMeasures = ['readings', 'days', 'openings'] as const

/** Parts of a report, in the order in which they stand unless a person orders them otherwise. */
export const reportParts = [
  'aim',
  'conditions',
  'tools',
  'lots',
  'design',
  'runs',
  'films',
  'fits',
  'checks',
  'otherFits',
  'decision',
  'ledger',
  'drift',
  'cautions',
  'exclusions',
  'readings',
  'methods',
  'origin',
] as const

/** A time of day, 00:00 to 23:59. */
export const clockTimePattern = /^([01]\d|2[0-3]):[0-5]\d$/
