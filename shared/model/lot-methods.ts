/** How lots are compared; rows of `methods.ts`. */
export const lotMethods = {
  curvesOfLots: {
    formula:
      'F = (increase of the misfit per term left out) / (mean square of separate curves): once for one curve against ' +
      'parallel ones, once for parallel against separate ones. Where days vary, their variance is counted.',
    source:
      'F test of nested linear models (standard theory); degrees of freedom where days vary: Satterthwaite, Biometrics ' +
      'Bulletin 2 (1946).',
  },
  equivalence: {
    formula:
      'Two one-sided t tests at 5 %: equal within ±m where both reject, that is where the 90 % interval of the shift ' +
      'lies within 1 − m … 1 + m. Of several lots by Holm’s steps.',
    source:
      'Schuirmann, J. Pharmacokinetics and Biopharmaceutics 15 (1987); Holm, Scandinavian Journal of Statistics 6, 65 ' +
      '(1979).',
  },
  correctedSpeed: {
    formula:
      'The speed at which the lot’s curve reaches the target; its interval is every speed at which the data do not ' +
      'contradict the target: (ŷ(N) − T)² ≤ t²·s²(N).',
    source: 'Fieller, J. Royal Statistical Society B 16 (1954).',
  },
}
