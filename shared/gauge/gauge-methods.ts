/** What gauges scatter and how they differ; rows of `methods.ts`. */
export const gaugeMethods = {
  gaugeShare: {
    formula:
      'Variances of wafers, operators, loadings and scans from the mean squares; one below zero stands as zero.\n' +
      'Share of the tolerance = 6·s of the gauge / (2·tolerance). Its interval: of one mean square by χ², of sums and ' +
      'differences by modified large sample; degrees of freedom of sums by Satterthwaite.',
    source:
      'Burdick & Graybill, Confidence Intervals on Variance Components (1992); Graybill & Wang, J. Amer. Statist. Assoc. ' +
      '75 (1980); Ting and others, J. Statist. Comput. Simul. 35 (1990); Satterthwaite, Biometrics Bull. 2 (1946). ' +
      'Limits of 10 % and 30 %: common practice, no source.',
  },
  gaugeBias: {
    formula:
      'Differences d of the means of each wafer: mean d ± t·s_d/√n with n − 1 degrees of freedom; how they go with the ' +
      'thickness by a line of d over the mean of both gauges.',
    source:
      'NIST/SEMATECH e-Handbook of Statistical Methods, 7.3.1.1 (from memory); against the mean of both: Bland & Altman, Lancet 327 ' +
      '(1986).',
  },
  checkStandard: {
    formula:
      'Within days: s pooled over the days. Of days: s of their means. Limits: centre ± 3·MR̄/1.128 with the mean moving ' +
      'range MR̄ of the first days, at most 20.\n' +
      'Calibration: certificate, bias left in, what is not known of it, and how days differ, as the root of the sum of squares.',
    source:
      'NIST/SEMATECH e-Handbook of Statistical Methods, 2.2.2, 2.2.3 and 6.3.2.2; JCGM 100:2008, F.2.4.5.',
  },
}
