import { count } from '../../format.ts'

/** Words of the screen Lots; those of its drift stand in drift/words.ts. */
export const words = {
  title: 'Lots',
  tabsLabel: 'Lots, drift or kept recipes',
  tabs: { lots: 'Lots', drift: 'Drift', recipes: 'Kept recipes' },
  span: (low: string, high: string) => `${low} to ${high}`,
  comparison: {
    twoLots: 'Two lots are needed',
    twoLotsWords:
      'This screen lays the curves of resist lots over each other, tests whether one curve serves them all, and gives the ' +
      'speed that brings a new lot back to the target. It needs measured runs of at least two lots, best coated in one ' +
      'session in the order old, new, new, old.',
    nameLots: 'Name the lots of the runs',
    planLots: 'Plan runs of two lots',
    chart: (response: string, factor: string) => `${response} against ${factor}, lot by lot`,
    noChart: 'Choose at least two lots, and a model with the speed in it.',
    movedRuns:
      'Marks: runs moved to the working point by the fit, each with its own residual, in its own lot; hollow where left out.',
    fitting: 'Fitting',
    and: ' and ',
    typedMargin: (percent: string, from: string) => `typed; ${percent} would be ${from}`,
  },
  choice: {
    lots: 'Lots; the first is the reference',
    lot: (name: string, runs: number) => `${name} (${count(runs, 'run')})`,
    margin: 'Margin that still counts as equal, ±',
  },
  tests: {
    label: 'Tests',
    noDifference:
      'To find no difference is not to show that the lots are equal: with few wafers nothing is ever found. Equal is what ' +
      'lies within the margin, by its interval.',
    words:
      'How days differ counts in both tests. Lots that never shared a session are not judged equal. Whether a lot is ' +
      'accepted is for a person to decide and to sign.',
  },
  shifts: {
    box: 'Shifts of the lots',
    caption: (reference: string, level: string) =>
      `Shift at the target against lot ${reference}, with ${level} intervals`,
    lot: 'Lot',
    shift: 'Shift',
    interval: 'Interval',
    p: 'p of no shift',
    reference: 'reference',
    speed: 'Target speed',
    set: 'Set speed',
    beside: (reference: string) => `Beside ${reference}`,
    anyDay: 'Any day',
    equal: 'Within the margin',
    theseTools: 'the tools of these runs',
    speeds: (tools: string, stepped: boolean, reference: string) =>
      `Speeds hold for ${tools}${stepped ? ', exact and rounded to what the coater can be set to' : ''}. ` +
      `Beside ${reference}: where the film is as thick as ${reference}’s at its own speed, what both share in a session ` +
      'taken out. Any day: where the mean over days is the target.',
  },
  slopes: {
    label: 'Slopes',
    box: 'Differences of slopes',
    caption: (reference: string) => `Slopes against those of lot ${reference}`,
    lot: 'Lot',
    along: 'Along',
    slopeOf: (reference: string) => `Slope of ${reference}`,
    difference: 'Difference',
    interval: (level: string) => `${level} interval`,
  },
  decisions: {
    title: 'Decide and sign',
    lot: 'Lot',
    decision: 'Decision',
    signedBy: 'Signed by',
    reason: 'Reason',
    sign: 'Sign the decision',
    kept: 'Kept with its date, these numbers and the data behind them. It is never changed: a newer one takes its place.',
    box: 'Decisions',
    caption: 'Signed decisions, newest first',
    date: 'Date',
    state: 'State',
    holds: 'holds',
    replaced: 'a newer one holds',
    shift: 'Shift',
    margin: 'Margin',
    data: 'Data',
    lotAgainst: (lot: string, against: string) => `${lot} against ${against}`,
    shiftWithin: (shift: string, low: string, high: string) => `${shift} (${low} to ${high})`,
  },
  check: {
    title: 'Plan the lot check',
    noMargin: 'State a margin above: how many wafers are enough depends on it.',
    caption: (margin: string) => `Chance that equal lots are found equal within ${margin}`,
    wafers: 'Wafers of each lot',
    chance: 'Chance',
    notEnough: (margin: string) =>
      `Not even 100 wafers of each lot find equal lots equal within ${margin} with a chance of 80 %.`,
    enough: (wafers: number) => `For a chance of 80 %, ${count(wafers, 'wafer')} of each lot are needed.`,
    scatter: (deviation: string, from: string) =>
      `Reckoned with a scatter of ${deviation} from wafer to wafer (${from}), judged by the wafers of the check alone.`,
    newLot: 'New lot',
    unnamedLot: 'new',
    against: 'Against lot',
    each: 'Wafers of each',
    settings: 'Settings of all wafers',
    ofStudy: 'the study’s recipe',
    kept: (name: string, version: number) => `${name}, version ${version}`,
    typed: 'typed settings',
    add: 'Add the runs to the plan',
    order: (dummies: number, order: string) =>
      `One session, after ${count(dummies, 'dummy', 'dummies')}: ${order}.`,
    allAt: (settings: string) => `All at ${settings}.`,
    added: (runs: number, session: string) => `Planned ${count(runs, 'run')} as ${session}.`,
  },
  history: {
    title: (resist: string) => `Lots of ${resist || 'this resist'} over time`,
    chart: 'Shift of each lot, by day',
    noChart: 'No lot has a day yet.',
    box: 'Lots over time',
    caption: 'Shift of each lot against the reference lot of its own study, with 95 % intervals',
    day: 'Day',
    lot: 'Lot',
    shift: 'Shift',
    interval: 'Interval',
    against: 'Against',
    runs: 'Runs',
    days: 'Differences of days',
    daysApart: 'apart from lots',
    daysIn: 'may be in it',
    study: 'Study',
    words:
      'Lots of different studies are not held against each other: their reference lots, tools and days differ.',
  },
}
