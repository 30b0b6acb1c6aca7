/** How the drift of a recipe is watched; rows of `methods.ts`. */
export const driftMethods = {
  driftLimits: {
    formula:
      'On the logarithm: centre ± 3·MR̄/d₂ with the mean moving range MR̄ of neighbours and d₂ = 2/√π; for the moving ' +
      'range (1 + 3·d₃/d₂)·MR̄, d₃ = √(2 − 4/π).',
    source: 'NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2.',
  },
  driftRules: {
    formula:
      'Of the last readings, on one side of the centre: 1 of 1 beyond 3σ; 2 of 3 beyond 2σ; 4 of 5 beyond 1σ; 8 of 8. ' +
      'Weighted average z = 0.2·x + 0.8·z before, beyond 2.7·σ·√(0.2/1.8·(1 − 0.8²ᵗ)).\n' +
      'False alarms are counted in 2000 simulated series with limits from as many readings.',
    source:
      'Western Electric, Statistical Quality Control Handbook (1956); weighted average: Lucas & Saccucci, Technometrics ' +
      '32 (1990); NIST/SEMATECH e-Handbook, 6.3.2.4.',
  },
  driftChange: {
    formula:
      'Difference of the means after and before the event ± t·s·√(1/n₁ + 1/n₂), s from both sides; with a steady trend, ' +
      'the distance between parallel lines.',
    source:
      'Two-sample t: NIST/SEMATECH e-Handbook, 7.3.1 (from memory); with a trend analysis of covariance (standard theory).',
  },
  retunedSpeed: {
    formula:
      'N′ = N·e^(shift/b), b the exponent of the recipe’s own fit; its error is that of the shift and of b together.',
    source: 'First terms of Taylor’s series: JCGM 100:2008, 5.1.2.',
  },
}
