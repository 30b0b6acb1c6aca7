import type { ConfirmationJudgement } from '../../../shared/contract/results/confirmation.ts'
import type { Choice } from '../../../shared/contract/results/next.ts'
import { count } from '../../format.ts'

type Verdict = ConfirmationJudgement['verdict']

/** Words of the screen Next. */
export const words = {
  title: 'Next',
  span: (low: string, high: string) => `${low} to ${high}`,
  beyondTested: 'Beyond the tested region:',
  aims: {
    reach: { title: 'Most likely in tolerance', words: 'To have the film you need now.' },
    learn: { title: 'Teaches most', words: 'To narrow the fit over the whole region.' },
    both: { title: 'Weighs both', words: 'To come nearer the target and learn on the way.' },
  } satisfies Record<Choice['aim'], { title: string; words: string }>,
  screen: {
    noFit: 'No fit to recommend from yet',
    noFitWords:
      'From the fitted curve this screen says which run is most likely in tolerance and which one teaches most. It needs ' +
      'the readings of at least three runs at different settings.',
    target: 'Target',
    tolerance: 'Tolerance ±',
    noTarget: 'No target yet',
    noTargetWords:
      'Say which thickness you need and how far off it may be; then the next run can be chosen for it.',
    setTarget: 'Set target and tolerance',
    nextRun: 'The next run',
    searching: 'Looking through the region',
    fitting: 'Fitting',
  },
  search: {
    cancelled: 'The search was cancelled; nothing was changed.',
    again: 'Search again',
    batch: 'Choosing the runs',
  },
  choice: {
    predicted: 'Predicted',
    predictedNote: (interval: string, level: string) => `next run ${interval} (${level})`,
    chance: 'Chance in tolerance',
    known: 'Known after it',
    knownNote: 'average standard error of the mean over the region',
    costs: 'Costs',
    /** A chance in wafers, which is easier to picture than a percentage. */
    chanceWords: (chance: number) => {
      const good = Math.round(100 * chance)
      const about = good <= 0 ? 'Hardly any' : good >= 100 ? 'Nearly all' : `About ${good}`
      return `${about} of 100 such wafers would be in tolerance if the fit is right; what it does not know is counted in.`
    },
    anotherDay:
      'The interval is for one wafer on another day, so it is wider than the band of the curve: nobody knows yet how far ' +
      'that day will lie off. Runs on more days narrow it, more runs of the same day do not.',
    plateChange: 'plate change',
    noPlateChange: 'no plate change',
    bar: (interval: string, unit: string) => `Predicted ${interval} ${unit} over the tolerance`,
    beyond: 'no run was made out there, so the film may do otherwise than the curve.',
    take: 'Take this run',
    thisSession: 'In this session',
    session: (name: string) => `In ‘${name}’`,
    sessionNote: (interval: string, chance: string) => `next run ${interval}, chance in tolerance ${chance}`,
  },
  known: {
    title: 'What each run would teach of the curve',
    axis: 'standard error of the mean',
    now: 'now',
    after: {
      reach: 'most likely',
      learn: 'teaches most',
      both: 'weighs both',
    } satisfies Record<Choice['aim'], string>,
    recommended: 'recommended run',
    workingPoint: 'working point',
    none: 'No curve to draw.',
    takes: (title: string, percent: number) => `‘${title}’ ${percent} %`,
    words: (takes: readonly string[], anotherDay: boolean) =>
      `Made ${anotherDay ? 'on another day' : 'in this session'}, each would take from the standard error of the mean at ` +
      `the recommended run: ${takes.join(', ')}. ` +
      `${anotherDay ? 'Another day teaches more here, as most of what is not known is how days differ. ' : ''}` +
      'The other settings are those of the recommended run.',
  },
  taken: {
    run: (code: string) => `Run ${code} is planned, and its prediction is in the ledger.`,
    runs: (n: number) => `${count(n, 'run')} are planned, and their predictions are in the ledger.`,
  },
  batch: {
    title: 'Several runs together',
    runs: 'Runs',
    aim: 'Good for',
    minutesLeft: 'Time left of the slot',
    choose: 'Choose the runs',
    take: 'Take these runs',
    box: 'Runs of the batch',
    caption: 'Runs in the order of making',
    order: 'Order',
    settings: 'Settings',
    predicted: 'Predicted',
    interval: 'Interval',
    takes: 'Takes',
    plate: 'Plate',
    plateChange: 'change',
    beyond: 'beyond what was tested',
    totals: (minutes: string, resistMl: string, plateChanges: number) =>
      `${minutes}, ${resistMl}, ${plateChanges === 0 ? 'no plate change' : count(plateChanges, 'plate change')}.`,
    known: ({ before, after }: Choice['known']) =>
      `After all of them the average standard error of the mean over the region goes from ${before} to ${after}.`,
  },
  recipe: {
    title: 'Recipe for the target',
    asked: 'Asked chance in tolerance',
    searching: 'Looking for a recipe',
    searchingAnew: 'Working out the recipe anew; below stands the one before',
    planConfirmation: 'Plan the confirmation…',
    makeWorkingPoint: 'Use as working point',
    mean: 'The mean here',
    oneWafer: (scope: string) => `One wafer ${scope}`,
    nonUniformity: 'Non-uniformity',
    nonUniformityNote: (low: string, high: string, formula: string) =>
      `nine in ten wafers ${low} to ${high} %, ${formula}`,
    chance: 'Chance in tolerance',
    thicknessAlone: 'thickness alone',
    chances: (thickness: string, evenness: string) => `thickness ${thickness}, evenness ${evenness}`,
    meanWords: (mean: string, interval: string, level: string) =>
      `The mean over days is ${mean} here, from ${interval} with ${level} confidence.`,
    measured: (meet: number, of: number) => `${meet} of the ${of} settings looked at have the asked chance.`,
    movesBox: 'What each setting may move',
    moves: 'What each setting alone may move before the asked chance is lost',
    setting: 'Setting',
    from: 'From',
    here: 'Recipe',
    to: 'To',
    regionEnd: (end: string) => `${end}, end of the region`,
    surface: (display: string, surface: string) => `Hot plate: display ${display}, surface ${surface}.`,
  },
  map: {
    label: 'The predicted film beside measured ones',
    predicted: 'Predicted',
    predictedNote: 'No wafer was read for it',
    measured: (code: string) => `Measured, ${code}`,
    key: 'Thickness of all maps',
  },
  plan: {
    title: 'Plan the confirmation',
    words:
      'Wafers of the recipe on several days show whether it holds. What they are held to is written down before any of ' +
      'them is measured, and cannot be changed after.',
    days: 'Days',
    wafersADay: 'Wafers a day',
    wafersADayOptions: { '1': '1', '2': '2: also tells days from wafers' },
    shows: (wafers: number, share: number) =>
      `${count(wafers, 'wafer')}. All of them good would show, with 95 % confidence, that at least ${share} % of all wafers are.`,
    daysTell:
      'Wafers of one day share what that day does. Three wafers on three days show more than nine on one, which would be ' +
      'held together by the same luck.',
    fewDays: 'With fewer than three days little is seen of how days differ.',
    cancel: 'Cancel',
    add: 'Add to the plan',
    added: 'The confirmation is planned, and what it is held to is written down.',
  },
  confirmation: {
    title: (moment: string) => `Confirmation planned ${moment}`,
    verdict: 'Verdict',
    verdicts: {
      'not yet': { label: 'Not yet', tone: 'plain' },
      passed: { label: '✓ Passed', tone: 'within' },
      'not passed': { label: '✗ Not passed', tone: 'outside' },
    } as const satisfies Record<Verdict, { label: string; tone: string }>,
    simultaneous: 'All wafers at once',
    simultaneousNote: (level: string, estimate: string) =>
      `written down before, ${level}, predicted ${estimate}`,
    chance: 'Chance of each in tolerance',
    release: '95 % of all wafers, for release',
    releaseNote: (within: boolean, df: string, days: number) =>
      `${within ? 'inside the tolerance' : 'reaches beyond the tolerance'}; ${df} degrees of freedom, ` +
      `${count(days, 'day')} of the confirmation and the study`,
    releaseWords: (interval: string, days: number) =>
      `With 95 % confidence at least 95 % of all wafers of this recipe lie from ${interval}, by ${count(days, 'day')}.`,
    wafers: 'Wafers of the confirmation',
    run: 'Run',
    session: 'Session',
    measured: 'Measured',
    interval: 'Interval',
    thickness: 'Thickness',
    nonUniformity: 'Non-uniformity',
    inside: { yes: '✓ within', no: '✗ outside' },
    inTolerance: { yes: '✓ in tolerance', no: '✗ out of tolerance' },
  },
  ledger: {
    title: 'Ledger of predictions',
    empty:
      'When you take a run, its prediction is written down here and later set against what was measured.',
    box: 'Predictions',
    caption: 'Predictions and what was measured',
    predictedOn: 'Predicted on',
    run: 'Run',
    settings: 'Settings',
    predicted: 'Predicted',
    interval: 'Interval',
    chance: 'Chance',
    measured: 'Measured',
    held: 'Interval held',
    within: '✓ within',
    outside: '✗ outside',
    chart: 'Measured less predicted',
    sessionsBox: 'By session',
    sessions: 'By session: its wafers share its error',
    session: 'Session',
    noSession: 'not named',
    inside: 'Inside',
    insideOf: (inside: number, wafers: number) => `${inside} of ${wafers}`,
    bias: 'Mean error',
    standardized: 'Standardized error',
    coverage: (inside: number, of: number, low: string, high: string) =>
      `${inside} of ${of} measured runs fell inside their interval (a share between ${low} and ${high}, with 95 % confidence).`,
  },
}
