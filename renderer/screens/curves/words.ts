/** Words of Curves: what the film does, how sure that is, and what to doubt in it. */
export const words = {
  screen: {
    title: 'Curves',
    empty: 'Nothing to fit yet',
    emptyWords:
      'Curves show what the film does: thickness against speed with its uncertainty. They need the readings of at ' +
      'least three runs at different settings.',
    makePlan: 'Make a plan',
    enterReadings: 'Enter readings',
    fitting: 'Fitting',
    views: 'Views of the fit',
    tabs: {
      curve: 'One factor',
      surface: 'Two factors',
      residuals: 'Residuals',
      doubts: 'What to doubt',
      terms: 'Terms and tests',
      compare: 'Compare models',
      limits: 'What it cannot tell',
      scatter: 'Where the scatter comes from',
    },
  },
  chooser: {
    response: 'Response',
    nonUniformity:
      'Non-uniformity has no sign: a bowl and a dome of one depth read alike, so where the film is flattest its surface ' +
      'has a fold that no square follows, and the scatter of the gauge counts as unevenness. What to change is told by ' +
      'bowl, ring and wedge.',
    model: 'Model',
    fit: 'Fit',
    formula: 'Formula',
    fitIt: 'Fit',
    terms: (words: string, count: number) => `${words} (${count} terms)`,
    own: 'A formula of my own',
    ownWords: 'Operators + - * . / ^, functions log, sqrt, exp, …',
    byAicc: 'Taken until you choose: smallest AICc, uncontradicted by the runs where possible.',
    otherKind: 'Curves and the report show this fit; Next and Lots go by the fit over days.',
    anotherModel: (model: string) => `With these data another model is taken: ${model}.`,
    kinds: {
      overDays: {
        label: 'Over days',
        words:
          'Choose it first: runs of one session and of one visit to the plate share an error, so that there is an interval for another day.',
      },
      ordinary: {
        label: 'Least squares',
        words:
          'Choose it to look at these runs alone: every run counts the same, and intervals hold for this session only.',
      },
      huber: {
        label: 'Robust, far runs count less',
        words: 'Choose it when a few runs lie off and no cause is known: they are named with their weight.',
      },
      bisquare: {
        label: 'Robust, far runs drop out',
        words: 'Choose it when some runs are plainly wrong: the farthest count nothing, and are named.',
      },
      groups: {
        label: (groups: string) => `${groups}: with their variances`,
        words:
          'Choose it when runs of one such group share an error: intervals then hold for another group too.',
      },
    },
  },
  sentences: {
    label: 'What the fit says',
    note: 'Note:',
    tryModel: (model: string) => `Try ${model}`,
    lessThan:
      'Runs that count less in this fit, with their weight (a run that fits counts 1). Look for a cause of each:',
    less: (code: string, weight: string | null) => `${code}: ${weight ?? 'nothing'}`,
    noneLess: (weight: number) => `No run counts for less than ${weight} in this fit.`,
  },
  hints: {
    residualsFirst:
      'Look at the residuals before you trust the curve: a bend, a funnel or a step there means that the line and its ' +
      'bands are wrong, however narrow they look.',
    tried: (factor: string, low: string, high: string) => `${factor} ${low} to ${high}`,
    beyond: (tried: string) =>
      `The working point lies beyond the settings tried (${tried}). There the formula decides, not the film: make a run ` +
      'there before you rely on it.',
    fewDf: (df: string) =>
      `The scatter is judged on ${df} degrees of freedom, so the intervals are wide for that alone. Repeated runs ` +
      'narrow them fastest; over days, runs on another day do.',
    together: (first: string, second: string, correlation: string) =>
      `${first} and ${second} moved together in these runs (correlation ${correlation}): the fit can hardly tell which ` +
      'of the two did it. Runs that change one without the other would.',
  },
  stated: {
    open: 'State a variance that these runs hardly tell',
    openWords:
      'From earlier studies or by default. With degrees of freedom it is weighed against what these runs say; without, ' +
      'it is taken as it is.',
    form: (group: string) => `Variance between groups: ${group}`,
    between: (group: string) => `Between ${group}s:`,
    deviation: 'Standard deviation',
    df: 'Degrees of freedom',
    from: 'Known from',
    sources: {
      earlier: {
        label: 'Earlier studies',
        words: 'Used while these runs leave fewer than 3 degrees of freedom, or estimate 0.',
      },
      stated: { label: 'A default', words: 'Used whatever these runs say.' },
    },
    state: 'State it',
    stateAgain: 'State again',
    takeBack: 'Take it back',
    untold: 'these runs cannot tell it',
    freedom: (df: string) => `${df} degrees of freedom of these runs`,
    zero: (freedom: string) => `estimated as 0 on ${freedom}`,
    whatChanges: 'What that changes',
    countsAs: (group: string, amount: string) => `the scatter ${group}, which now counts as ${amount}`,
    noneWithout: (groups: readonly string[]) =>
      `${withStated(groups)}, terms have intervals; by these runs alone they have none.`,
    changesMost: (groups: readonly string[], most: { term: string; now: string; alone: string }) =>
      `${withStated(groups)}, the interval that changes most is that of ${most.term}: ±${most.now} in place of ` +
      `±${most.alone}.`,
  },
  point: {
    title: 'Working point',
    lower: (factor: string) => `Lower ${factor}`,
    raise: (factor: string) => `Raise ${factor}`,
  },
  curve: {
    title: (response: string, factor: string) => `${response} against ${factor}`,
    empty: 'The model has no numeric factor to draw a curve against. Add one to the formula.',
    key: (others: string, moved: boolean) =>
      `Line: fit${others ? ` at ${others}` : ''}. Dark band: mean; light band, dashed: next run. Marks: ` +
      `${moved ? 'runs moved to the working point by the fit, each with its own residual' : 'runs at their own settings'}, ` +
      'hollow where left out.',
    against: 'Against',
    logScales: 'Logarithmic scales',
    move: 'Move the runs to the working point',
  },
  surface: {
    title: (response: string, x: string, y: string) => `${response} over ${x} and ${y}`,
    noTitle: 'Surface',
    file: (response: string) => `${response} surface`,
    none: 'There is no surface to draw.',
    waiting: 'The surface is being calculated.',
    needsTwo:
      'A surface needs two numeric factors in the model. Choose a model with two, or plan runs that vary a second factor.',
    key:
      'Dots: runs, hollow where left out. Cross: working point. Heavy dashes: limits of the tolerance. Heavy line: ' +
      'where a wafer is in tolerance with the asked chance, in thickness and evenness, on any day. Two rings: the ' +
      'recipe that Next found. Other factors are held at the working point.',
    across: 'Across',
    up: 'Up',
  },
  residuals: {
    fitted: (response: string) => `fitted ${response}`,
    residual: (unit: string) => (unit === '' ? 'residual' : `residual (${unit})`),
    row: (row: number) => `row ${row}`,
    empty: 'Residuals show once there are runs in the fit.',
    againstFitted: 'Against fitted values',
    againstFittedWords: 'A funnel means the wrong scale, a bend a missing square.',
    inRunOrder: 'In run order',
    inRunOrderWords: 'A slope or a step means drift: bottle, bowl, plate, room.',
    normal: 'Against normal scores',
    normalWords: 'Near the line: one kind of scatter. A point far off: look for its cause.',
    againstFactor: 'Against a factor',
    againstFactorWords: 'A bend means a missing square of this factor, a step a missing level.',
    factor: 'Factor',
    noTransformation: (why: string) => `No transformation can be judged: ${why}`,
    power: (response: string) =>
      `λ is the power of ${response} (Box and Cox) under which these terms fit best: 1 stands for no transformation, 0 ` +
      'for the logarithm.',
  },
  runs: {
    caption: 'Runs of the fit',
    key: (average: string) =>
      `Leverage: how much a run's own reading decides its fitted value (average ${average}). Studentized: residual in ` +
      'units of its own standard deviation, the run itself left out.',
    weightKey: 'Weight: how much the run counts in this robust fit, 0 to 1.',
    distanceKey: 'Cook’s distance: how far the whole fit moves when the run is left out.',
    columns: {
      code: 'Run',
      fitted: 'Fitted',
      residual: 'Residual',
      leverage: 'Leverage',
      studentized: 'Studentized',
      weight: 'Weight',
      cooksDistance: 'Cook’s distance',
    },
    look: (value: string) => `look: ${value}`,
  },
  terms: {
    label: 'Terms',
    caption: (model: string, level: string) => `Terms of ${model}, with ${level} intervals`,
    columns: {
      term: 'Term',
      estimate: 'Estimate',
      standardError: 'Standard error',
      interval: 'Interval',
      t: 't',
      p: 'p',
      inflation: 'Variance inflation',
      words: 'In words',
    },
    interval: (low: string, high: string) => `${low} to ${high}`,
    chart: 'Which terms can be told from zero',
    chartFile: 'terms',
    chartEmpty: 'The terms have no intervals.',
    chartLabel: (count: number, level: string) =>
      `Estimates of ${count} terms in half widths of their ${level} intervals.`,
    chartAxis: (level: string) => `estimate, in half widths of its ${level} interval`,
    zero: 'zero',
    chartNames: { row: 'term', strong: 'told from zero' },
    stop: (name: string, value: string, words: string) => `${name}: ${value} half widths from zero. ${words}`,
    marks:
      'Filled: the interval does not reach zero. Hollow: with these runs the term cannot be told from scatter.',
    key: (df: string) =>
      `${df} degrees of freedom. Bold: p below 0.05. Terms are in the columns' own units; an exponent that is fitted ` +
      'here holds for these tools and this range, it is no constant of nature.',
    inflationKey:
      'Variance inflation: how many times the variance of a term is larger for standing beside the others. Above 10 ' +
      'the runs hardly tell it from them, except between a factor and its own square, where that is usual.',
    anova: 'Analysis of variance',
    anovaCaption: 'Analysis of variance, terms in the order of the formula',
    anovaColumns: {
      source: 'Source',
      df: 'Degrees of freedom',
      sumOfSquares: 'Sum of squares',
      meanSquare: 'Mean square',
      f: 'F',
      p: 'p',
    },
  },
  variances: {
    label: 'Variances',
    caption: 'Where the scatter comes from, on the scale of the model',
    columns: {
      group: 'Between',
      standardDeviation: 'Standard deviation',
      variance: 'Variance',
      df: 'Degrees of freedom of these runs',
      from: 'From',
    },
    theseRuns: 'these runs',
    sources: { earlierStudies: 'earlier studies', stated: 'stated' },
    asItIs: (from: string, amount: string) => `${from}: ${amount}, taken as it is`,
    weighed: (from: string, amount: string, df: string) =>
      `${from}: ${amount} on ${df} degrees of freedom, with these runs`,
    effect: 'What the stated variances do',
    effectCaption: 'What the stated variances do to the intervals: half their width',
    effectColumns: {
      term: 'Term',
      halfWidth: 'With what is stated',
      halfWidthWithout: 'By these runs alone',
    },
    none: 'none',
    lackOfFit: 'Lack of fit by stratum',
    lackOfFitCaption: 'Lack of fit against groups, and runs inside them, at equal settings',
    lackOfFitColumns: {
      stratum: 'Stratum',
      df: 'Lack of fit, degrees of freedom',
      pureErrorDf: 'Pure error, degrees of freedom',
      f: 'F',
      denominatorDf: 'Denominator, degrees of freedom',
      p: 'p',
    },
  },
  compare: {
    label: 'Models side by side',
    caption: 'Models side by side; choose a row to take its model',
    columns: {
      number: 'No.',
      model: 'Model',
      terms: 'Terms',
      above: 'AICc above the lowest',
      error: 'Prediction error',
      share: 'The same, of the reading',
      lack: 'Lack of fit p',
    },
    contradicted: (p: string) => `contradicted: ${p}`,
    oneRun: 'one run',
    oneGroup: (group: string) => `all runs of one ${group}`,
    key: (response: string, leftOut: string, runs: number | string) =>
      `AICc: closeness weighed against the number of terms, on the scale of ${response} itself, so that a model of its ` +
      'logarithm compares with one of the reading. Prediction error: root mean square, with ' +
      `${leftOut} left out at a time and predicted by a fit of the others. All on the same ${runs} runs.`,
    cannotTell: 'What these runs cannot tell between the models',
    waiting: 'Fitting the models',
  },
  doubts: {
    byLeastSquares: 'Looked for in the same model fitted by least squares.',
    none: 'Nothing found that chance does not explain.',
    change: (with_: string, without: string, change: string) =>
      `At the place below the fit says ${with_}, without it ${without}${change && ` (${change})`}.`,
    open: (code: string) => `Open ${code}`,
    recorded: 'Recorded values',
    recordedCaption: 'What was recorded, and the share of the scatter within sessions that goes with it',
    columns: {
      name: 'Recorded',
      share: 'Share',
      order: 'Correlation with run order',
      missing: 'Not recorded, runs',
    },
    clear: 'Looked for and not found',
    notJudged: 'These runs cannot tell',
    place: (settings: string) =>
      `Predictions are compared at ${settings}. An outlying run is flagged, not taken out: that needs a reason, at the ` +
      'bench.',
    waiting: 'Looking for what to doubt',
  },
  limits: {
    notEstimable: (term: string, because: string) => `The term ${term} cannot be estimated: ${because}.`,
    oneSession:
      'All runs belong to one session, so nothing here says how the film differs from day to day. Intervals and ' +
      'chances hold for this session only; on another day the film can lie further off.',
    oneSessionCounted:
      'All runs belong to one session, so nothing here says how the film differs from day to day. Intervals and ' +
      'chances for another day count a scatter of days that does not come from these runs: they are as good as it is. ' +
      'Runs of a second session put this film’s own in its place.',
    unnamed: (codes: string) =>
      `No session is named for ${codes}: together they count as one more day, and intervals for another day are too ` +
      'narrow if they were not. Name the session of each at the bench.',
    noRepeats: 'No settings were repeated, so the scatter cannot be told from a wrong form of the model.',
    leftOut: (runs: string, which: string) =>
      `${runs} left out of the fit: ${which}. Look at the fit with and without.`,
    leftOutRun: (code: string, why: string) => `${code} (${why})`,
    run: 'run',
    monitorRun: 'monitor run',
    monitors: (runs: string) =>
      `${runs} watch a kept recipe and are no part of the fits: a recipe that drifts would pull the curve with it. ` +
      'Lots shows their drift.',
    beyond:
      'Beyond the settings that were tried the curve is a guess; the film, not the formula, decides there.',
    invented: 'The film of this study is invented: it says nothing of a real resist.',
  },
  scatter: {
    about: (readings: number, wafers: number, after: string) =>
      `Thickness, ${readings} readings of ${wafers} wafers, on the log scale, after ${after} and after the shape of each ` +
      'wafer (bowl, ring, wedge), by restricted maximum likelihood.',
    afterMeans: 'the means of equal settings',
    afterModel: (model: string) => `the model ${model}`,
    chart: 'How far the film scatters between …',
    chartFile: 'scatter',
    chartEmpty: 'No scatter can be told yet.',
    chartLabel: (between: string) => `Standard deviations of the film between ${between}.`,
    chartAxis: 'standard deviation (%)',
    chartNames: { row: 'between', strong: 'told from zero' },
    stop: (between: string, share: string, interval: string) =>
      `Between ${between}: ${share}${interval && `, interval ${interval}`}`,
    interval: (low: string, high: string) => `${low} to ${high}`,
    gauge: 'the gauge’s page',
    freedom: (df: string, groups: number) => `${df} degrees of freedom, ${groups} in all`,
    variances: 'Variances',
    caption: 'Standard deviation of the film between …',
    columns: {
      between: 'Between',
      standardDeviation: 'Standard deviation',
      interval: '95 % interval',
      shareOfMean: 'Of the variance of a mean',
      from: 'From',
    },
    usual: (counts: string) =>
      `The mean of one setting as it is usually read (${counts}) has a standard uncertainty of`,
    usualMore: 'from this scatter; reload and calibration of the gauge come on top. With one more:',
    countOf: (count: number, level: string) => `${count} ${level}`,
    of: ' of ',
    more: 'One more of each',
    moreCaption: 'What one more would do to the uncertainty of a mean',
    moreColumns: { words: 'With', standardUncertainty: 'Standard uncertainty', gain: 'Narrower by' },
    inPlaceOf: (count: number, levels: string) => `${count} ${levels} in place of ${count - 1}`,
    waiting: 'Calculating',
  },
}

function withStated(groups: readonly string[]): string {
  return `With what is stated of ${groups.join(', and of ')}`
}
