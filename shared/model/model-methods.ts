/** How a fit, its intervals and its judgement are found: rows of the methods of the program. */
export const modelMethods = {
  bands: {
    formula:
      'Mean: ŷ ± t · √(x′ V x). Next run: ŷ ± t · √(x′ V x + σ²), V the covariance of the estimates, σ² the variance ' +
      'of one run (over days, that of days and visits to the plate too), t Student’s at the level with its degrees of ' +
      'freedom. Each band holds at one place at a time. On a log scale the ends are raised to the power of e.',
    source:
      'NIST/SEMATECH e-Handbook of Statistical Methods, section 4.5.1 (from memory); Draper & Smith, Applied Regression ' +
      'Analysis.',
  },
  targetSetting: {
    formula:
      'The setting at which the curve is the target; its interval is all settings whose interval holds the target: ' +
      '|ŷ(x) − target| ≤ t · s(x). On a straight line this is Fieller’s interval. An end is missing where the slope is ' +
      'not clearly other than 0.',
    source:
      'Fieller, J. R. Statist. Soc. B 16, 175 (1954; page from memory); Draper & Smith, Applied Regression Analysis, inverse regression.',
  },
  movedRuns: {
    formula:
      'Shown response = fit at the working point + residual of the run: the run as it would stand there if the model ' +
      'is right. In truth it was made at its own settings.',
    source: 'Partial residuals: Larsen & McCleary, Technometrics 14, 781 (1972; from memory).',
  },
  terms: {
    formula:
      'Least squares: b = (X′X)⁻¹X′y, s² = Σ(y − Xb)² / (n − p), standard error √(s²·[(X′X)⁻¹]ᵢᵢ), interval ' +
      'b ± t · standard error. With groups: b = (X′V⁻¹X)⁻¹X′V⁻¹y, V from the variances found. p: the chance of so ' +
      'large a t where the term is nothing.\nVariance inflation: 1 / (1 − R²) of the column on the others.',
    source:
      'NIST/SEMATECH e-Handbook, section 4.4.3 (from memory); formulas as Wilkinson & Rogers, Applied Statistics 22, 392 ' +
      '(1973); Marquardt, Technometrics 12, 591 (1970); pages from memory.',
  },
  analysisOfVariance: {
    formula:
      'Each term takes the fall of the residual sum of squares when it joins the terms above it; F = its mean square / ' +
      'residual mean square. The order of the terms matters where factors move together.',
    source:
      'Fisher, Statistical Methods for Research Workers (1925); NIST/SEMATECH e-Handbook, section 7.4.3.',
  },
  lackOfFit: {
    formula:
      'Pure error: the scatter of runs at equal settings. F = (residual − pure error) per degree of freedom / pure ' +
      'error per degree of freedom. Large: the form of the model is wrong.',
    source: 'NIST/SEMATECH e-Handbook, section 4.4.4.6; Draper & Smith, Applied Regression Analysis.',
  },
  varianceComponents: {
    formula:
      'The variances that make the contrasts free of the fixed terms most likely (restricted maximum likelihood); a ' +
      'variance is not let below 0. What earlier studies state joins with its degrees of freedom.',
    source:
      'Patterson & Thompson, Biometrika 58, 545 (1971); Lindstrom & Bates, J. Am. Stat. Assoc. 83, 1014 (1988); pages ' +
      'from memory.',
  },
  degreesOfFreedom: {
    formula:
      'Of an estimate of variance v: 2 · v² / var(v), var(v) by its slopes along the variances and their expected ' +
      'information. One stratum gives back n − p; of several it lies between them.',
    source:
      'Satterthwaite, Biometrics Bulletin 2, 110 (1946); Giesbrecht & Burns, Biometrics 41, 477 (1985); for F of ' +
      'several columns Fai & Cornelius, J. Stat. Comput. Simul. 54, 363 (1996); pages from memory.',
  },
  runDiagnostics: {
    formula:
      'Leverage hᵢ: diagonal of X(X′X)⁻¹X′, p / n on average. Studentized: eᵢ / (s₍ᵢ₎ · √(1 − hᵢ)), s₍ᵢ₎ without the ' +
      'run, Student’s t with n − p − 1 degrees of freedom. Cook’s distance: eᵢ² · hᵢ / (p · s² · (1 − hᵢ)²). Beyond ±3 ' +
      'is looked at: common practice, no source.',
    source:
      'Cook, Technometrics 19, 15 (1977; from memory); Belsley, Kuh & Welsch, Regression Diagnostics (1980), chapter 2.',
  },
  normalScores: {
    formula:
      'The k-th smallest of n residuals stands at Φ⁻¹((k − 3/8) / (n + 1/4)). The line goes through the quartiles.',
    source: 'Blom, Statistical Estimates and Transformed Beta-Variables (1958).',
  },
  robustFit: {
    formula:
      'Runs are weighted by their distance from the fit in robust standard deviations, and fitted again until the ' +
      'weights stand: Huber’s weight falls as 1 / distance beyond 1.345, the bisquare is (1 − (d / 4.685)²)² and 0 ' +
      'beyond. Both are 95 % efficient for normal scatter.',
    source:
      'Huber, Robust Statistics (1981); Beaton & Tukey, Technometrics 16, 147 (1974; page from memory); start by Salibian-Barrera & ' +
      'Yohai, J. Comput. Graph. Stat. 15 (2006).',
  },
  transformation: {
    formula:
      'Under each λ the response becomes (y^λ − 1) / (λ · g^(λ−1)), its logarithm times g at λ = 0, g the geometric ' +
      'mean. The best λ leaves the least residual sum of squares; its interval is where the likelihood falls by less ' +
      'than ½ χ².',
    source: 'Box & Cox, J. R. Statist. Soc. B 26, 211 (1964; page from memory).',
  },
  chanceMap: {
    formula:
      'At each place: the chance that the next wafer is within target ± tolerance and under the uniformity limit, from ' +
      'Student’s distribution about the prediction for another day. The heavy line is where it is as asked.',
    source:
      'The prediction of one run: NIST/SEMATECH e-Handbook, section 4.5.1 (from memory); the map of it: common practice, no source.',
  },
  modelComparison: {
    formula:
      'AICc = −2 · log-likelihood + 2k + 2k(k + 1) / (n − k − 1), k with the variance, on the scale of the reading by ' +
      'the Jacobian of the transformation. Prediction error: √ of the mean square of left-out readings less their ' +
      'prediction by the others.',
    source:
      'Hurvich & Tsai, Biometrika 76, 297 (1989); Box & Cox, J. R. Statist. Soc. B 26, 211 (1964); Burnham & Anderson, ' +
      'Model Selection and Multimodel Inference (2002), section 2.6; pages and section from memory.',
  },
  doubts: {
    formula:
      'Outlying run: the largest externally studentized residual, p times n (Bonferroni). Exchanged pair: the pair ' +
      'whose exchange lowers the residual sum of squares most, against 999 simulated studies without a mix-up. ' +
      'Recorded causes: the best of all that were tried, against residuals permuted within sessions. Order: Student’s ' +
      't of the place in the session, and Durbin & Watson’s ratio against simulated scatter.',
    source:
      'Cook & Weisberg, Residuals and Influence in Regression (1982), section 2.2.2; Freedman & Lane, J. Bus. Econ. ' +
      'Stat. 1, 292 (1983); Durbin & Watson, Biometrika 37, 409 (1950); pages and section from memory. Exchanged pair: our own, proven by simulation.',
  },
  scatter: {
    formula:
      'Readings = setting + shape of the wafer (bowl, ring, wedge) + session + visit to the plate + wafer + site + ' +
      'repeat; the variances by restricted maximum likelihood. Variance of a mean: each variance over how many of its ' +
      'level it averages.',
    source:
      'Patterson & Thompson, Biometrika 58, 545 (1971); degrees of freedom: Satterthwaite, Biometrics Bulletin ' +
      '2, 110 (1946); pages from memory.',
  },
}
