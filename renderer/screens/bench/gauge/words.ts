import { degreesWords } from '../../../../shared/gauge/gauge-words.ts'
import { count } from '../../../format.ts'

/** What stands under Gauge. */
export const words = {
  gaugeTab: {
    emptyTitle: 'No gauge yet',
    empty: 'Enter the gauge first: a new one, among the tools of this study.',
    editStudy: 'Edit the study',
    gauge: 'Gauge',
    study: 'Gauge study',
    two: 'Two gauges',
    check: 'Check standard',
  },
  gaugeNumbers: {
    inUse: (parts: string) => `In use: ${parts}.`,
    notKnown: 'not known',
    from: (origin: string, df: string | null) =>
      df === null ? ` (${origin})` : ` (${origin}; ${df} degrees of freedom)`,
    repeatability: (value: string) => `repeatability ${value}`,
    reload: (value: string) => `reload ${value}`,
    calibration: (value: string) => `calibration ${value}`,
  },
  gaugeStudies: {
    label: 'Gauge study',
    make: 'New gauge study…',
    remove: 'Remove this one',
    removed: 'The gauge study is removed. Undo brings it back.',
  },
  gaugeStudyForm: {
    intro:
      'Ten minutes tell how much of your tolerance the gauge takes: load the same wafers again and again, come back to the same site, and read.',
    small: 'Ten minutes: 2 wafers, 5 loadings',
    large: 'Large: 10 wafers, 3 loadings, 2 people',
    wafers: 'Wafers',
    wafersHint: 'Their names, with commas between them',
    operators: 'Operators',
    operatorsHint: 'Empty where one person reads; with commas between names otherwise',
    loadings: 'Loadings of each wafer',
    loadingsHint: 'By each operator',
    scans: 'Scans at each loading',
    scansHint: 'Two or more tell scan and loading apart',
    tolerance: 'Tolerance ±',
    toleranceHint: 'That the gauge has to serve',
    size: (readings: number, minutes: number) => `${readings} readings, about ${minutes} minutes.`,
    classes: 'To say how many classes of wafers the gauge tells apart takes 5 wafers or more.',
    start: 'Start the gauge study',
    cancel: 'Cancel',
    twoPeople: 'first person, second person',
    reach: (name: string, df: number, low: string, high: string) =>
      `${name}: ${count(df, 'degree')} of freedom, so the true standard deviation will lie between ${low} and ${high} times the one found (95 %)`,
    onePerson: 'one person',
  },
  gaugeStudyWork: {
    loadings: 'loadings',
    scans: 'scans',
    cautions: 'Cautions',
    caption: 'Readings of the gauge study, in the order of the work',
    no: 'No.',
    operator: 'Operator',
    wafer: 'Wafer',
    loading: 'Loading',
    scan: (scan: number) => `Scan ${scan}`,
    cell: (wafer: string, loading: number, scan: number) =>
      `Wafer ${wafer}, loading ${loading}, scan ${scan}`,
    unit: 'Unit of bare numbers',
    keys: 'Enter goes on in the order of the work, Shift Enter back. Each number is kept as soon as you leave its field; an emptied field takes it back. A block from a spreadsheet can be pasted.',
    complete: 'Every reading is there.',
  },
  gaugeStudyResult: {
    interval: '95 % interval',
    range: (low: string, high: string) => `${low} to ${high}`,
    both: (parts: string[]) => parts.join(' and '),
    section: 'What the gauge study says',
    tolerance: 'Tolerance ±',
    soFar: (n: number, loadings: number) =>
      `So far, from ${count(n, 'reading')} in ${count(loadings, 'loading')}:`,
    questioned: (questioned: number) =>
      `${questioned === 1 ? 'A reading looks' : `${questioned} readings look`} wrong, as said below. Until that is settled, the numbers here say more about it than about the gauge.`,
    caption: 'Standard deviations of the parts, with their degrees of freedom',
    part: 'Part',
    deviation: 'Deviation',
    degrees: 'Degrees',
    ofTolerance: 'Of tolerance',
    use: 'Use for this gauge from now on',
    hint: (share: string) =>
      `The gauge alone takes ${share} of the tolerance: a single reading near a limit says little. Read several times over, or loading by loading, and let the mean judge.`,
    putsIn: (usedWords: string) => `Puts in ${usedWords}.`,
    save: 'Save the readings as CSV',
    hardlyKnown: 'hardly known',
    known: (value: string, df: number | null) => {
      if (df === null) return value
      const degrees = degreesWords(df)
      return df < 0.5 ? `${value} (hardly known, with ${degrees})` : `${value} with ${degrees}`
    },
    repeatability: (known: string) => `repeatability ${known}`,
    reload: (known: string, holds: { operators: boolean; scan: boolean }) =>
      `reload ${known}${holds.operators ? ', operators in it' : ''}${holds.scan ? ', one scan in it' : ''}`,
    used: (name: string) => `The uncertainty of every mean now uses what this study found of ‘${name}’.`,
  },
  twoGauges: {
    empty:
      'Read the same wafers, under the same names, in a gauge study of this gauge and in one of another gauge. How the two read against each other is then said here.',
    first: 'This gauge',
    second: 'The other gauge',
    caption: 'Mean of each wafer by both gauges',
    wafer: 'Wafer',
    difference: 'Difference',
  },
  checkStandards: {
    empty:
      'A check standard is a piece of known thickness, such as a step height or an oxide, with a certificate. Read it every day that the gauge is used: the log tells its bias, its drift and when to stop using it.',
    label: 'Check standard',
    edit: 'Edit…',
    make: 'New check standard…',
  },
  checkEntry: {
    day: 'Day',
    reading: (unit: string) => `Reading (${unit})`,
    logIt: 'Log it',
    keys: 'Enter keeps the reading and waits for the next. Days and readings can be pasted from a spreadsheet.',
    noBlock: 'Paste lines of a day, as 2026-03-02, and a reading. Nothing was taken.',
  },
  checkLog: {
    range: (low: string, high: string) => `${low} to ${high}`,
    empty: 'No reading of this standard by this gauge yet.',
    chart: 'Day by day',
    emptyChart: 'Days show here.',
    shortTerm: 'Standard deviation within days',
    longTerm: 'Of the means of days',
    limits: 'Control limits',
    limitsNote: (days: number) => `three deviations, from how neighbours among the first ${days} days differ`,
    calibration: 'Uncertainty of the calibration',
    calibrationNote: 'certificate, bias left in, and how days differ',
    use: 'Use for this gauge from now on',
    save: 'Save the log as CSV',
    caption: 'Days, the newest first',
    day: 'Day',
    readings: 'Readings',
    mean: 'Mean',
    withinDay: 'Within the day',
    deviations: 'Deviations',
    alarm: 'Alarm',
    takeBack: 'Take back',
    takeBackOf: (day: string) => `Take back the readings of ${day}`,
    dayMean: 'mean of the day',
    untold: 'cannot be told',
    untoldNote: 'all readings are equal: it lies below the digits that were typed',
    used: (name: string) => `The uncertainty of every mean now uses what this log says of ‘${name}’.`,
    takenBack: (day: string) => `The readings of ${day} are taken back. Undo brings them again.`,
  },
  standardDialog: {
    title: (isNew: boolean) => (isNew ? 'New check standard' : 'Check standard'),
    intro:
      'Its certificate gives the value and an uncertainty; a stated ± with k = 2 is twice the standard uncertainty.',
    name: 'Name',
    nominal: 'Certified value',
    uncertainty: 'Its standard uncertainty',
    uncertaintyHint: 'Empty counts as none',
    note: 'Note',
    noteHint: 'Number and date of the certificate',
    nominalMissing: 'Enter the certified value.',
  },
}
