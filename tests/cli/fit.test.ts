import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { demoModel, demoTable } from '../unit/model/demo-sweep.ts'
import { answerOf, data, evenfilm, evenfilmHere, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

const near = (found: number | null | undefined, wanted: number, relative = 1e-9) =>
  expect(Math.abs((found ?? Number.NaN) / wanted - 1)).toBeLessThan(relative)

describe('the twelve-point resist speed curve', () => {
  // University of Pennsylvania cleanroom, series scn_tooldata, article 1000; expected values computed
  // independently of this program.
  const file = data('upenn_resist_spin_curve.csv')

  test('the straight log–log line, its prediction, and the test that says it is curved', async () => {
    const fit = await answerOf(
      ['fit', file, '--model', 'log(thickness) ~ log(rpm)', '--at', 'rpm=3000', '--level', '0.95'],
      shapes.fit,
    )
    const [constant, slope] = fit.terms
    expect(fit.terms.map(({ term }) => term)).toEqual(['constant', 'log(rpm)'])
    near(slope?.estimate, -0.4792535716842991, 1e-13)
    near(slope?.standardError, 0.008088348742)
    near(slope?.lower, -0.497275535765)
    near(slope?.upper, -0.461231607603)
    near(Math.exp(constant?.estimate ?? 0), 24.81066617977518, 1e-12)
    near(fit.residualStandardDeviation, 0.020276085187)
    near(fit.rSquared, 0.997159768313)
    expect(fit.runs.map(({ row }) => row)).toEqual([2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13])
    const [prediction] = fit.predictions
    near(prediction?.estimate, 24.81066617977518 * 3000 ** -0.4792535716842991, 1e-12)
    expect(prediction?.scope).toBe('sameSession')
    const curvature = fit.problems.find(({ code }) => code === 'curvature')
    expect(curvature?.message).toContain('F(1, 9) = 14.82')
  })

  test('the same numbers with decimal commas, semicolons, a byte-order mark and a blank line', async () => {
    const lines = [
      'rpm;thickness (µm)',
      '500;1,287',
      '',
      '1000;0,914',
      '1500;0,742',
      '2000;0,644',
      '2500;0,569',
    ]
    const rest = [
      '3000;0,524',
      '3500;0,490',
      '4000;0,459',
      '4500;0,438',
      '5000;0,420',
      '5500;0,409',
      '6000;0,399',
    ]
    const comma = fileWith(`\uFEFF${[...lines, ...rest].join('\r\n')}\r\n`)
    const fit = await answerOf(['fit', comma, '--model', 'log(thickness) ~ log(rpm)'], shapes.fit)
    near(fit.terms[1]?.estimate, -0.4792535716842991, 1e-13)
    // Rows are counted as a spreadsheet shows them.
    expect(fit.runs.map(({ row }) => row)).toEqual([2, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14])
  })

  test('--against gives the ratio to a base', async () => {
    // vcov of lm in R 4.2.2: tests/published/model/differences.R.
    const args = ['fit', file, '--model', 'log(thickness) ~ log(rpm) + log(rpm)^2']
    const places = ['--at', 'rpm=3000', '--at', 'rpm=1500', '--against', 'rpm=1500']
    const { differences = [] } = await answerOf([...args, ...places], shapes.fit)
    expect(differences[0]).toMatchObject({ at: { rpm: 3000 }, against: { rpm: 1500 }, kind: 'ratio', df: 9 })
    near(differences[0]?.estimate, 0.72063042375209, 1e-11)
    near(differences[0]?.confidence[0], 0.71442767263211, 1e-11)
    near(differences[0]?.confidence[1], 0.72688702793926, 1e-11)
    expect(differences[1]).toMatchObject({ estimate: 1, standardError: 0, confidence: [1, 1] })
    const { stdout } = await evenfilmHere([...args, ...places])
    expect(stdout).toMatch(/Against rpm 1500.*\n.*ratio of thickness.*\nrpm 3000 +0\.7206/)
  })

  test('tables say the median of the response in its unit, and messages go to standard error', async () => {
    const ended = await evenfilm(['fit', file, '--model', 'log(thickness) ~ log(rpm)', '--at', 'rpm=3000'])
    expect(ended.exit).toBe(0)
    expect(ended.stdout).toMatch(/log\(rpm\)\s+-0\.47925/)
    expect(ended.stdout).toContain('median of thickness (um)')
    expect(ended.stderr).toContain('F(1, 9) = 14.82')
    expect(ended.stdout).not.toContain('F(1, 9)')
  })
})

describe('the film-deposition response surface', () => {
  // NIST/SEMATECH e-Handbook 5.4.7.3 (Czitrom & Spagon 1997); expected values computed independently, the
  // uniformity row equal to the handbook's printed estimates. Coding: the printed ±0.71 columns.
  const file = data('nist_cvd_rsm.csv')
  const quadratic = (response: string, p: string, r: string) =>
    `${response} ~ ${p} + ${r} + ${p}^2 + ${r}^2 + ${p}.${r}`

  test.each([
    [
      'uniformity_pct',
      [5.86612597, -1.90967035, -0.22408127, 0.13373348, 0.03373348, 1.68617338],
      [0.723539830707, 0.871574291864, 13.0402606614, 0.855164399086, 0.578764707092],
    ],
    [
      'stress',
      [7.79003999, 0.73593268, 0.49686286, -0.5287277, -0.1187277, 0.06943067],
      [0.0770695602998, 0.991750517874, 0.103274948832, 0.225182751471, 0.873128118011],
    ],
  ])('%s, coded', async (response, estimates, [rmse, rSquared, press, lackF, lackP]) => {
    const fit = await answerOf(
      ['fit', file, '--model', quadratic(response, 'coded_p', 'coded_r')],
      shapes.fit,
    )
    for (const [i, estimate] of estimates.entries())
      expect(Math.abs((fit.terms[i]?.estimate ?? 0) - estimate)).toBeLessThan(6e-9)
    near(fit.residualStandardDeviation, rmse ?? 0)
    near(fit.rSquared, rSquared ?? 0)
    near(fit.press, press ?? 0)
    near(fit.lackOfFit?.f, lackF ?? 0)
    near(fit.lackOfFit?.p, lackP ?? 0)
    expect([fit.lackOfFit?.df, fit.lackOfFit?.pureErrorDf]).toEqual([3, 2])
  })

  test('uniformity in natural units: what does not depend on the coding', async () => {
    const fit = await answerOf(
      ['fit', file, '--model', quadratic('uniformity_pct', 'pressure_torr', 'h2_wf6')],
      shapes.fit,
    )
    near(fit.residualStandardDeviation, 0.725895597306)
    near(fit.rSquared, 0.870736650311)
    near(fit.press, 13.1652398272)
    near(fit.lackOfFit?.f, 0.86509036295)
    // P² and P·R in natural units are the coded coefficients over 38² and 38 · 4.
    near(fit.terms.find(({ term }) => term === 'pressure_torr^2')?.estimate, 0.13334705 / 38 ** 2, 1e-7)
    near(fit.terms.find(({ term }) => term === 'pressure_torr.h2_wf6')?.estimate, 1.69905881 / 152, 1e-7)
  })
})

test('names with other signs stand in double quotes: stack loss', async () => {
  // Brownlee 1960, as shipped with R; expected values computed with R 4.2.2.
  const model = '"stack.loss" ~ "Air.Flow" + "Water.Temp" + "Acid.Conc."'
  const fit = await answerOf(['fit', data('stackloss.csv'), '--model', model], shapes.fit)
  for (const [i, estimate] of [-39.919674420124, 0.715640200485, 1.295286124389, -0.152122519149].entries())
    near(fit.terms[i]?.estimate, estimate, 1e-10)
  near(fit.press, 291.86893173)
  const last = fit.runs.at(-1)
  expect(last?.row).toBe(22)
  expect(last?.studentized).toBeCloseTo(-3.330493, 6)
  expect(last?.cooksDistance).toBeCloseTo(0.692, 5)
})

test('readings of 1000000000000.4 keep the digits that a double would lose', async () => {
  // NIST StRD, analysis of variance, set SmLs07: F 21, residual standard deviation 0.1.
  const rows = readFileSync(data('strd_smls01.csv'), 'utf8').trim().split('\n').slice(1)
  const lines = rows.map((row) => row.replace(/^(\d),1\./, 't$1;1000000000000,'))
  const file = fileWith(['treatment;y', ...lines].join('\n'))
  const fit = await answerOf(['fit', file, '--model', 'y ~ treatment'], shapes.fit)
  near(fit.analysisOfVariance[0]?.f, 21, 1e-13)
  near(fit.residualStandardDeviation, 0.1, 1e-13)
})

test('a spin curve with an offset, and with the exponent on a bound', async () => {
  // Expected values from R, as in tests/published/model/profile.R.
  const file = data('upenn_resist_spin_curve.csv')
  const curve = await answerOf(['fit', file, '--spin-curve', 'offset', '--at', 'rpm=3200'], shapes.fit)
  expect(curve.terms.map(({ term }) => term)).toEqual(['K', 'apparent exponent', 'offset'])
  near(curve.terms[2]?.estimate, 0.092022914637121, 1e-7)
  near(curve.terms[2]?.profile?.[0], 0.0345123815459099, 1e-6)
  near(curve.predictions[0]?.estimate, 0.5144131382079713)
  const equation = ['--equation', 'thickness = k*rpm^(-b) + c', '--start', 'k=20,b=0.5,c=0']
  const bounded = await answerOf(['fit', file, ...equation, '--bounds', 'b=0:0.52,c=0:'], shapes.fit)
  expect(bounded.terms[1]).toMatchObject({ term: 'b', estimate: 0.52, standardError: null })
  expect(bounded.problems.map(({ code }) => code)).toContain('atBound')
})

describe('an equation', () => {
  const file = data('upenn_resist_spin_curve.csv')
  const power = ['--equation', 'thickness = k*rpm^(-b)', '--start', 'k=20,b=0.5']

  test('the power law of the resist speed curve on its own scale', async () => {
    // Non-linear least squares on the same twelve points, computed independently of this program.
    const fit = await answerOf(['fit', file, ...power, '--at', 'rpm=3000'], shapes.fit)
    expect(fit.terms.map(({ term }) => term)).toEqual(['k', 'b'])
    near(fit.terms[0]?.estimate, 26.89257254, 1e-8)
    near(fit.terms[0]?.standardError, 1.00126963, 1e-6)
    near(fit.terms[1]?.estimate, 0.48982103, 1e-7)
    near(fit.terms[1]?.standardError, 0.00511192, 1e-5)
    near((fit.residualStandardDeviation ?? 0) ** 2 * 10, 0.0009790810817, 1e-9)
    expect(fit.stopReason).toBe('converged')
    expect([fit.rSquared, fit.press, fit.lackOfFit]).toEqual([null, null, null])
    near(fit.predictions[0]?.estimate, 26.89257254 * 3000 ** -0.48982103, 1e-6)
  })

  test('exit 1 where it does not converge', async () => {
    const rows = [1, 2, 3, 4, 5, 6].map((x) => `${x},${x % 2}`)
    const noise = fileWith(`x,y\n${rows.join('\n')}\n`)
    const refusal = await refusalOf([
      'fit',
      noise,
      '--equation',
      'y = a*exp(b*x^c)',
      '--start',
      'a=1,b=-50,c=9',
    ])
    expect(refusal).toMatchObject({ exit: 1, codes: ['didNotConverge'] })
  })

  test.each([
    [[...power, '--bounds', 'b=1:2'], 'startOutsideBounds'],
    [[...power, '--bounds', 'b=1'], 'badOption'],
    [[...power, '--bounds', 'b=:'], 'badOption'],
    [[...power, '--bounds', 'b=0:1,b=0:2'], 'badOption'],
    [[...power, '--bounds', 'b=low:1'], 'badOption'],
    [[...power, '--by', 'rpm'], 'badOption'],
    [['--spin-curve', 'straight'], 'badOption'],
    [['--spin-curve', 'power', '--bounds', 'b=0:1'], 'badOption'],
    [['--spin-curve', 'power', '--at', 'rpm=3000', '--against', 'rpm=2000'], 'badOption'],
    [['--spin-curve', 'power', '--box-cox'], 'badOption'],
    [['--spin-curve', 'power', '--speed', 'turns'], 'unknownColumn'],
    [['--equation', 'thickness = k*rpm'], 'missingOption'],
    [[...power, '--model', 'thickness ~ rpm'], 'missingOption'],
    [['--model', 'thickness ~ rpm', '--start', 'k=1'], 'badOption'],
    [['--equation', 'thickness = k*rpm', '--start', 'k=much'], 'badOption'],
    [['--equation', 'thickness = k*(rpm', '--start', 'k=1'], 'equation'],
    [['--equation', 'thickness = k*speed', '--start', 'k=1'], 'unknownName'],
  ])('exit 2 for %j', async (args, code) => {
    const refusal = await refusalOf(['fit', file, ...args])
    expect(refusal).toMatchObject({ exit: 2, codes: [code] })
  })
})

describe('exit codes of fit', () => {
  const file = data('upenn_resist_spin_curve.csv')

  test('1 where there are fewer runs than terms', async () => {
    const short = fileWith('speed,thickness\n1000,1500\n2000,1100\n')
    const refusal = await refusalOf(['fit', short, '--model', 'thickness ~ speed + speed^2'])
    expect(refusal).toMatchObject({ exit: 1, codes: ['fewerRunsThanTerms'] })
  })

  test('0 where a term cannot be estimated, which is named', async () => {
    const twice = fileWith('a,b,y\n1,2,3\n2,4,5\n3,6,8\n4,8,9\n')
    const fit = await answerOf(['fit', twice, '--model', 'y ~ a + b'], shapes.fit)
    expect(fit.notEstimable.map(({ term }) => term)).toEqual(['b'])
  })

  test.each([
    [['fit', file], 'missingOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--against', 'rpm=2000'], 'missingOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--at', 'rpm=1', '--against', 'time=2'], 'unknownColumn'],
    [['fit', file, '--model', 'thickness ~ rpm', '--at', 'rpm=1', '--against', 'rpm=x'], 'missingSetting'],
    [
      ['fit', file, '--model', 'thickness ~ rpm', '--at', 'rpm=1', '--against', 'rpm=2', '--robust', 'huber'],
      'badOption',
    ],
    [['fit', '--model', 'a ~ b'], 'missingOperand'],
    [['fit', file, '--model', 'log(thickness) ~ speed'], 'unknownColumn'],
    [['fit', file, '--model', 'log(thickness) ~ '], 'formula'],
    [['fit', file, '--model', 'thickness ~ rpm', '--robust', 'median'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--surface', 'spline'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--surface', 'gp', '--kernel', 'cubic'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--surface', 'gp', '--noise', '-1'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--trend', 'linear'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--exponent-prior', '0.5'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--robust', 'huber', '--surface', 'gp'], 'badOption'],
    [['fit', file, '--equation', 'thickness = k*rpm', '--start', 'k=1', '--random', 'rpm'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--random', 'lot/wafer'], 'unknownColumn'],
    [['fit', file, '--model', 'thickness ~ rpm', '--stated', 'lot=1'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--random', 'rpm', '--stated', 'rpm'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--random', 'rpm', '--stated', 'rpm=-1'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--random', 'rpm', '--earlier', 'day=1'], 'unknownGroup'],
    [['fit', file, '--model', 'thickness ~ rpm', '--level', '2'], 'badOption'],
    [['fit', file, '--model', 'thickness ~ rpm', '--at', 'time=3'], 'unknownColumn'],
    [['fit', file, '--model', 'thickness ~ rpm', '--at', 'thickness=3'], 'missingSetting'],
    [['fit', '/nowhere/none.csv', '--model', 'a ~ b'], 'cannotRead'],
  ])('2 for %j', async (args, code) => {
    const refusal = await refusalOf(args)
    expect(refusal.exit).toBe(2)
    expect(refusal.codes).toContain(code)
  })

  test('2 for a text among numbers, at its row', async () => {
    const slip = fileWith('speed,thickness\n1000,1500\n2000,12..5\n3000,900\n4000,800\n')
    const refusal = await refusalOf(['fit', slip, '--model', 'thickness ~ speed'])
    expect(refusal.exit).toBe(2)
    expect(refusal.text).toContain('Row 3')
  })
})

describe('other kinds of fit', () => {
  // Oxide thickness by lot, wafer and site: Littell, Milliken, Stroup & Wolfinger, 1996, a textbook on mixed models,
  // data set 4.4; balanced, so that the variances are those of the analysis of variance.
  test('--random: variances of nested groups', async () => {
    const file = data('oxide_thickness.csv')
    const fit = await answerOf(['fit', file, '--model', 'thickness ~ 1', '--random', 'lot/wafer'], shapes.fit)
    expect(fit.varianceComponents.map(({ group }) => group)).toEqual(['lot', 'lot/wafer', 'residual'])
    near(fit.varianceComponents[0]?.variance, 129.907186948854, 1e-7)
    near(fit.varianceComponents[1]?.variance, 35.8657407407407, 1e-7)
    near(fit.varianceComponents[2]?.variance, 12.5694444444444, 1e-7)
    near(fit.logLikelihood, -227.011034655, 1e-9)
    const said = await evenfilm(['fit', file, '--model', 'thickness ~ 1', '--random', 'lot/wafer'])
    expect(said.stdout).toMatch(/lot\/wafer +35\.866/)
    expect(said.stdout).toMatch(/df of terms +by Satterthwaite/)
    expect(said.stdout).toMatch(/constant +2000.* 7\.000 +472/)
  })

  test('--stated and --earlier: what is known of a variance, and what it does to every interval', async () => {
    const model = ['fit', data('oxide_thickness.csv'), '--model', 'thickness ~ 1', '--random', 'lot/wafer']
    const fit = await answerOf([...model, '--stated', 'lot=5/20', '--at', 'lot=1'], shapes.fit)
    expect(fit.varianceComponents[0]).toMatchObject({
      source: 'stated',
      stated: { standardDeviation: 5, df: 20 },
    })
    const [term] = fit.terms
    near(fit.statedEffect?.[0]?.halfWidth, ((term?.upper ?? 0) - (term?.lower ?? 0)) / 2)
    // qt(0.975, 7) of R, and the mean square of the lots over 72 readings.
    near(
      fit.statedEffect?.[0]?.halfWidthWithout ?? 0,
      2.36462425159278 * Math.sqrt(1289.33134920635 / 72),
      1e-8,
    )
    expect(fit.predictions[0]?.varianceSource).toBe('stated')
    // Eight lots know enough by themselves.
    const earlier = await answerOf([...model, '--earlier', 'lot=5'], shapes.fit)
    expect(earlier.varianceComponents[0]?.source).toBe('estimated')
    const said = await evenfilm([...model, '--stated', 'lot=5, lot/wafer=3/4', '--at', 'lot=1'])
    expect(said.stdout).toMatch(/lot .* stated: 5\.0000, taken as it is/)
    expect(said.stdout).toMatch(/lot\/wafer .* stated: 3\.0000 with 4\.000 df, and these runs/)
    expect(said.stdout).toMatch(/by these runs alone\nconstant +[\d.]+ +10\.01/)
    expect(said.stdout).toContain('The same by these runs alone')
  })

  // Brownlee 1960, stack loss; the four runs that every robust analysis of these data doubts (common knowledge of
  // the literature, from memory: runs 1, 3, 4 and 21). The bisquare gives the last of them no weight.
  test('--robust: names the runs that it doubts', async () => {
    const model = '"stack.loss" ~ "Air.Flow" + "Water.Temp" + "Acid.Conc."'
    const fit = await answerOf(
      ['fit', data('stackloss.csv'), '--model', model, '--robust', 'bisquare'],
      shapes.fit,
    )
    expect(fit.problems.some(({ row, message }) => row === 22 && message.includes('weight 0.00'))).toBe(true)
  })

  test('--surface and --exponent-prior: say what they rest on', async () => {
    const curve = ['fit', data('upenn_resist_spin_curve.csv'), '--model', 'log(thickness) ~ log(rpm)']
    const surface = await answerOf([...curve, '--surface', 'gp', '--at', 'rpm=3000'], shapes.fit)
    expect(surface.problems.some(({ message }) => message.includes('fewer than 30'))).toBe(true)
    near(surface.predictions[0]?.estimate, 0.524, 0.01)
    expect(surface.surface).toMatchObject({ kernel: 'matern52', trend: 'constant', noiseFrom: 'estimated' })
    const smooth = [
      '--surface',
      'gp',
      '--kernel',
      'squared-exponential',
      '--trend',
      'linear',
      '--noise',
      '1e-4',
    ]
    const other = await answerOf([...curve, ...smooth], shapes.fit)
    expect(other.surface).toMatchObject({
      kernel: 'squaredExponential',
      trend: 'linear',
      noiseFrom: 'stated',
      lengths: [{ input: 'log(rpm)' }],
    })
    expect(other.terms.map(({ term }) => term)).toEqual(['constant', 'log(rpm)'])
    near(other.residualStandardDeviation, 0.01)
    const prior = await answerOf([...curve, '--exponent-prior', '0.5,0.001'], shapes.fit)
    near(prior.terms[1]?.estimate, -0.5, 0.01)
    expect(prior.problems.some(({ message }) => message.includes('A stated prior'))).toBe(true)
  })
})

test('two wafers that were exchanged are named by their marks, or else by their rows', async () => {
  const { columns, rows } = demoTable(7, [6, 7])
  const csv = (marked: boolean) => {
    const marks = marked ? { wafer: (i: number) => `W${String(i + 1).padStart(2, '0')}` } : {}
    const cells = Array.from({ length: rows }, (_, i) => [
      ...Object.values(marks).map((mark) => mark(i)),
      ...columns.map(({ values }) => values[i]),
    ])
    const header = [...Object.keys(marks), ...columns.map(({ name }) => name)]
    return fileWith([header, ...cells].map((line) => line.join(',')).join('\n'))
  }
  const said = async (marked: boolean) => {
    const { problems } = await answerOf(['fit', csv(marked), '--model', demoModel], shapes.fit)
    return problems.find(({ code }) => code === 'swappedPair')
  }
  const marked = await said(true)
  expect(marked?.message).toMatch(/^Exchanging W07 and W08 lowers the misfit \d+-fold/)
  expect(marked?.row).toBe(8)
  expect((await said(false))?.message).toMatch(/^Exchanging row 8 and row 9 lowers/)
})
