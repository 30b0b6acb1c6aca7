/** How the next run, a recipe and its confirmation are found; rows of `methods.ts`. */
export const nextMethods = {
  chanceInTolerance: {
    formula:
      'Chance = T((high − ŷ)/s) − T((low − ŷ)/s), by Student’s t; s² = variance of the mean + variance of one run.\n' +
      'For another day the variance of days is in s². All on the scale of the model.',
    source: 'Predictive t distribution: Meeker, Hahn & Escobar, Statistical Intervals (2017); from memory.',
  },
  runToReach: {
    formula:
      'Of all settings of the region the one with the largest chance that one new run is in tolerance.\n' +
      'Of practically equal ones (0.2 %) that with the least variance, then without a plate change, then the quickest.',
    source:
      'Predictive t distribution: Meeker, Hahn & Escobar, Statistical Intervals (2017); from memory. What counts as ' +
      'equal: common practice, no source.',
  },
  runToLearn: {
    formula:
      'Of all settings the one after which the variance of the mean, averaged over the region, is least:\n' +
      'x′(X′V⁻¹X)⁻¹x falls at every x by (x′(X′V⁻¹X)⁻¹r)² / (s² + r′(X′V⁻¹X)⁻¹r) for a run at r.',
    source: 'Update of the inverse: Sherman & Morrison, Ann. Math. Statist. 21, 124 (1950).',
  },
  runForBoth: {
    formula:
      'Of all settings the one with the largest expected improvement E max(a² − (y − T)², 0): T the target, a the ' +
      'distance of the nearest tested setting by the fit, y the mean with its standard error.',
    source:
      'Jones, Schonlau & Welch, J. Global Optimization 13, 455 (1998); for noisy readings Huang, Allen, Notz & Zeng, ' +
      'J. Global Optimization 34 (2006).',
  },
  batch: {
    formula:
      'One run after another, each the one that takes most from the average variance given those before it; then each is ' +
      'exchanged where another one takes more. Runs of a day share the day.',
    source:
      'Exchange: Fedorov, Theory of Optimal Experiments (1972). Covariances kept up to date: Kalman, J. Basic ' +
      'Engineering 82, 35 (1960).',
  },
  recipeRegion: {
    formula:
      'Each setting alone is moved by steps of its tool, the others staying, as far as the chance is as asked.\n' +
      'Chance = chance in thickness × chance in evenness, taken as independent.',
    source:
      'Chances by the predictive t distribution; the product and the walk are common practice, no source.',
  },
  allWafersAtOnce: {
    formula:
      'ŷ ± k·s for every wafer of the set: k is the 95 % point of the largest |T| among its wafers, which share the fit ' +
      'and, on one day, the day (multivariate t).',
    source:
      'Simultaneous prediction intervals: Hahn & Meeker, Statistical Intervals (1991); from memory. k by simulation ' +
      'with a fixed seed, within about 1 %.',
  },
  releaseInterval: {
    formula:
      'Mean ± k·s holds 95 % of all wafers with 95 % confidence: k is the exact factor for normal scatter at the degrees ' +
      'of freedom of s, in which days count as days.',
    source:
      'ISO 16269-6; Odeh & Owen, Tables for Normal Tolerance Limits (1980); mean squares of unequal days: Thomas & ' +
      'Hultquist, Annals of Statistics 6 (1978); all from memory.',
  },
  leastShare: {
    formula: 'If all n are good, at least 0.05^(1/n) of all wafers are, with 95 % confidence.',
    source: 'Clopper & Pearson, Biometrika 26 (1934).',
  },
  ledgerCoverage: {
    formula:
      'Share inside with Wilson’s interval. The intervals are judged by sessions: Σz² of the sessions against F, ' +
      'at 8, 16, 32 … sessions, the 5 % spent over the looks.',
    source:
      'Wilson, J. Amer. Statist. Assoc. 22 (1927; from memory); Satterthwaite, Biometrics Bulletin 2 (1946); spending by looks: Lan & ' +
      'DeMets, Biometrika 70 (1983; rule from memory).',
  },
}
