const outlines = {
  flat: 'Flat down; the dashed circle',
  notch: 'Notch down; the dashed circle',
  rectangle: 'The dashed line',
}

/** Why a reading is left out. */
const causes = {
  particle: 'particle or comet at the site',
  fringe: 'wrong fringe order',
  bead: 'in the edge bead',
  mistyped: 'mistyped, true value lost',
  range: 'outside the range of the gauge',
}

/** What stands under Read. */
export const words = {
  causes,
  nothingPasted: 'There is no number in what was pasted.',
  tooManyCells: (cells: number, firstSite: number, room: number) =>
    `${cells} numbers were pasted, but from site ${firstSite} on there ${room === 1 ? 'is 1 site' : `are ${room} sites`}. Nothing was taken.`,
  severalColumns: (columns: number) =>
    `${columns} columns were pasted. Paste one column of readings, or the numbers of the sites and one column beside them. Nothing was taken.`,
  notDeleted: 'A reading is not deleted: leave it out with a reason, or type the right one.',
  readTab: {
    readings: 'Readings',
    repeats: 'Readings a site',
    paste: 'Paste a column…',
    next: (nextSite: number | null) =>
      nextSite === null ? 'Every site is read. Type over a number to correct it.' : `Next: site ${nextSite}`,
  },
  siteField: {
    site: (site: number | null) => `Site ${site}`,
    leaveOutOf: (site: number | null) => `Leave out site ${site}`,
    leaveOut: 'Leave out…',
    takeInOf: (site: number | null) => `Take site ${site} in again`,
    takeIn: 'Take in',
    supersedes: (text: string, unit: string) => `Not saved yet. Enter supersedes ${text} ${unit}.`,
    unsaved: 'Not saved yet: Enter saves it.',
    leftOut: (excluded: string) => `Left out: ${excluded}`,
    correct: (text: string) => `Enter ${text} instead`,
  },
  amendDialog: {
    open: 'Correct the whole run…',
    title: (code: string) => `Correct all readings of ${code}`,
    intro: 'Every number stays as it was typed, and the readings before stay on record. Undo puts all back.',
    change: (readings: number) => (readings === 1 ? 'Change the reading' : `Change all ${readings} readings`),
    other: 'Mixed up with run',
    reason: 'Because',
    noRun: 'There is no such run in this study.',
    exchange: 'Exchange the readings',
    cancel: 'Cancel',
  },
  howRead: {
    unit: 'Unit of bare numbers',
    readAfter: 'Read after',
    opticalIndex: 'Refractive index',
  },
  pasteDialog: {
    title: (code: string) => `Paste readings of ${code}`,
    intro: 'Copy one column of numbers in the spreadsheet and paste it here. They go to the sites in order.',
    text: 'Pasted numbers',
    firstSite: 'First number goes to site',
    caption: 'What would be taken',
    site: 'Site',
    pasted: 'Pasted',
    readAs: 'Read as',
    note: 'Note',
    supersedes: (supersedes: string) => `supersedes ${supersedes}.`,
    unread: (bad: number, lines: number) =>
      `${bad} of ${lines} cannot be read. Nothing is taken until all can.`,
    cancel: 'Cancel',
    take: (lines: number) => `Take ${lines} readings`,
  },
  placedReadings: {
    section: 'Readings at no site of the map',
    caption: (rows: number) => `${rows} readings at no site of the map`,
    x: 'x (mm)',
    y: 'y (mm)',
    act: 'Leave out or take in',
    takeIn: 'Take in',
    leaveOut: 'Leave out…',
  },
  otherResponses: {
    label: 'Other responses',
    leftOut: (excluded: string) => `left out: ${excluded}`,
  },
  runQuestions: {
    enter: (corrections: number, unit: string) =>
      `Enter ${corrections === 1 ? 'it' : `all ${corrections}`} as ${unit}`,
  },
  leaveOutDialog: {
    title: (place: string, code: string) => `Leave out ${place} of ${code}`,
    hint: 'An odd value alone is no reason. Leave a site out for what was seen there or is known of it; otherwise it stays in.',
    stays: (reading: string) => `${reading} stays on record, marked with the reason.`,
    reason: 'Reason',
    keepItIn: 'Keep it in',
    leaveItOut: 'Leave it out',
    usual: [causes.particle, causes.fringe, causes.bead, causes.mistyped],
    thisReading: 'this reading',
    site: (repeat: number, site: number) =>
      repeat === 1 ? `site ${site}` : `repeat ${repeat} at site ${site}`,
    reasonMissing: 'A reading is left out only with a reason.',
  },
  filmFigures: {
    section: 'What the readings say',
    mean: 'Mean',
    standardDeviation: 'Standard deviation',
    nonUniformity: 'Non-uniformity',
    counting: 'Sites that count',
    unsaved: (unsaved: number) => `${unsaved} not saved yet`,
    otherStages: 'Left for their stage',
    repeatability: 'Repeatability here',
    expected: 'Expected by the fit',
    areaMean: 'Mean by area',
    histogram: 'Sites by thickness',
    shape: 'Shape',
    sentence: (film: {
      mean: string
      uncertainty: string | null
      nonUniformity: string
      limit: 'within' | 'outside' | null
    }) =>
      `The film is ${film.mean} thick${film.uncertainty === null ? '' : `, known to about ±\u00a0${film.uncertainty} (twice the standard uncertainty)`}, and varies over the sites by ${film.nonUniformity}${film.limit === null ? '' : `, ${film.limit} the limit`}.`,
    noShape: 'It shows once sites are read.',
    worthChecking: 'Worth checking',
    commonPractice: 'Common practice, no source.',
    shapeTerms:
      'Shape terms are shares of the mean: + bowl means a thick edge. Look at them, not at the non-uniformity, to see what to change.',
    ofTolerance: (verdict: string) => `${verdict} the tolerance`,
    stages: (readAfter: string, targetAfter: string) =>
      `after ${readAfter}; the target is meant after ${targetAfter}`,
    degrees: (df: number) => `${df} ${df === 1 ? 'degree' : 'degrees'} of freedom`,
    repeatabilityNote: (own: string, exceedsGauge: boolean, stated: string) =>
      `${own}; ${exceedsGauge ? 'more than the gauge’s' : 'the gauge’s is'} ${stated}`,
  },
  filmUncertainty: {
    summary: 'Standard uncertainty:',
    combined: 'Of the mean, combined as JCGM 100 says: the root of the sum of squares',
    degrees: (df: string) => `, with ${df} effective degrees of freedom`,
    missing: (parts: string) => `Not counted, since the gauge’s page does not say: ${parts}.`,
    parts: {
      sites: { label: 'Scatter of the sites', note: 'what the shape leaves, over √n' },
      repeatability: {
        label: 'Repeatability of the gauge',
        note: 'of one reading, over the √ of the readings',
      },
      reload: { label: 'Reload', note: 'common to the sites of this substrate' },
      calibration: { label: 'Calibration', note: 'common to all that this gauge reads' },
    },
    note: (note: string, df: number | null) =>
      df === null ? note : `${note}; ${Math.round(df)} degrees of freedom`,
  },
  nonUniformityTable: {
    withAll: (n: number, withAll: string, without: string) =>
      `With all ${n} readings the mean is ${withAll}, without those left out ${without}.`,
    title: 'Non-uniformity by every formula',
    hint: 'A range grows with the number of sites and with one bad site; a standard deviation does not. Say the formula and the number of sites with every figure, and compare only like with like.',
    caption: (n: number, edgeExclusionMm: number) =>
      `Percent, ${n} sites, edge exclusion ${edgeExclusionMm} mm. Range forms grow with the number of sites.`,
    formula: 'Formula',
    sites: (n: number) => `${n} sites`,
    all: (n: number) => `all ${n}`,
    ours: '(this study’s)',
  },
  runMap: {
    section: 'Wafer map',
    map: (code: string) => `Wafer map of ${code}`,
    drawn: (shape: 'flat' | 'notch' | 'rectangle', edgeExclusionMm: number) =>
      `${outlines[shape]} is the edge exclusion of ${edgeExclusionMm} mm. Between the sites the colours are interpolated; beyond the outermost reading they are hatched.`,
    unsaved: 'A broken ring: typed and not saved yet.',
    arrow: 'The arrow points to the thick side.',
    profile: 'From the centre to the edge',
    radialProfile: 'Radial profile',
    noProfile: 'The profile shows with the first reading.',
    profileWords:
      'Line: bowl and ring as fitted; broken lines: how far the wedge moves it. Hollow: left out.',
    site: (site: number | null) => (site === null ? 'no site' : `site ${site}`),
  },
}
