/** How a plan is judged, ordered, timed and rehearsed: rows of the methods of the program. */
export const designMethods = {
  designPrecision: {
    formula:
      'D-efficiency = 100 · |X′X|^(1/p) / n %, X the n runs in coded factors (−1 to +1), p terms: 100 % where all columns ' +
      'are orthogonal and stand at the ends, as in a two-level factorial.\n' +
      'Variance of a predicted mean at x = x′(X′X)⁻¹x, in σ² of one run; its mean over the region is exact, its shares ' +
      'from points spread evenly.',
    source:
      'Box & Draper, Technometrics 13, 731 (1971; from memory); NIST/SEMATECH e-Handbook of Statistical Methods, section 5.5.2.1.',
  },
  smallestEffect: {
    formula:
      'The coefficient β at which a two-sided t test at 0.05 finds the term with the stated chance (its power): ' +
      '1 − F(t₀.₉₇₅; ν, δ) + F(−t₀.₉₇₅; ν, δ) = power, F of the non-central t with δ = β / standard error and ν the degrees ' +
      'of freedom of the error. β is from the middle of a range to its end, so twice β from end to end. Levels by name: the ' +
      'F test of all levels together, its non-centrality for the two hardest to tell apart.',
    source: 'Cohen, Statistical Power Analysis for the Behavioral Sciences (1988; from memory).',
  },
  aliases: {
    formula:
      'With terms X in the model and Z left out, the estimates hold β + A·γ, A = (X′X)⁻¹X′Z: where an entry of A is not 0, ' +
      'the runs cannot tell the one term from the other. A correlation between two estimates is that of (X′X)⁻¹.',
    source:
      'NIST/SEMATECH e-Handbook, section 5.3.3.4; Box, Hunter & Hunter, Statistics for Experimenters (1978).',
  },
  splitPlot: {
    formula:
      'Runs of one plate visit share its error: V = I + r·ZZ′, r the variance of visits over that of runs, Z which run is of ' +
      'which visit. A term that changes with the visits only is judged against visits, the others against runs; between ' +
      'the two by Satterthwaite’s degrees of freedom.\n' +
      'Precision = |X′V⁻¹X|^(1/p) / n over the best of the numbers compared.',
    source:
      'Goos & Vandebroek, Technometrics 45, 235 (2003); Giesbrecht & Burns, Biometrics 41, 477 (1985; page from memory); nine tenths of ' +
      'the best precision is our own rule, no source.',
  },
  runOrder: {
    formula:
      'Runs are shuffled by a seeded generator within each block, and within each plate visit where a factor is hard to ' +
      'change; the visits are shuffled too. Centre points stand first, last and evenly between. The same seed makes the same order.',
    source:
      'NIST/SEMATECH e-Handbook, section 5.3.3.7; Fisher, The Design of Experiments (1935; from memory).',
  },
  planCost: {
    formula:
      'Time = coats one after another + reading + waiting for the plate (change of temperature / its rate + time to ' +
      'settle). Resist = coats · mL a coat + purge. The shortest walk through the plate’s settings is found exactly.',
    source:
      'Held & Karp, J. SIAM 10, 196 (1962; from memory) for the order of visits; the rest is common practice, no source.',
  },
  waysToFit: {
    formula:
      'Each way is planned anew as a whole: the minutes are those by which the longest session gets shorter, what it costs is ' +
      'compared on the terms, degrees of freedom and variances of both plans.',
    source: 'Common practice, no source.',
  },
  rehearsal: {
    formula:
      'Every run is made on an invented film (thickness by speed, time and bake, with scatter of day, plate, wafer, site and ' +
      'gauge), fitted and solved for the setting as real readings are. A share of N rehearsals is known as ' +
      '(p + z²/2N ± z·√(p(1 − p)/N + z²/4N²)) / (1 + z²/N), z = 1.96.',
    source:
      'Wilson, J. Amer. Statist. Assoc. 22, 209 (1927; from memory); the film: Meyerhofer, J. Appl. Phys. 49, 3993 (1978); its ' +
      'scatter is invented.',
  },
}
