import { describe, expect, test } from 'vitest'
import { answerOf, data, evenfilm, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

describe('the setting for a target', () => {
  // Fieller's ends computed independently in R 4.2.2; the formulas in Draper & Smith, Applied Regression Analysis.
  test.each([
    [
      'cars.csv',
      'dist ~ speed',
      50,
      [17.1851653859, 16.0641738875, 18.4749227115, 9.13250924948, 25.4065873495],
    ],
    [
      'strd_norris.csv',
      'y ~ x',
      500,
      [499.205595673, 498.898575271, 499.512737669, 497.385244095, 501.026068846],
    ],
    [
      'nist_calibrationline.csv',
      'y ~ x',
      5,
      [4.82680412385, 4.80353127852, 4.84991411179, 4.69739685026, 4.95604854006],
    ],
  ])('%s, %s = %d: the mean, and one reading', async (file, model, value, expected) => {
    const { target, predictions } = await answerOf(
      ['fit', data(file), '--model', model, '--target', String(value)],
      shapes.fit,
    )
    const found = [target?.setting, target?.lower, target?.upper, target?.oneRun.lower, target?.oneRun.upper]
    expected.forEach((number, i) => {
      expect(Math.abs((found[i] ?? Number.NaN) / number - 1)).toBeLessThan(1e-11)
    })
    // The prediction at the setting that was found is the target.
    expect(predictions[0]?.estimate).toBeCloseTo(value, 9)
  })

  test('the exact interval of a log–log line, and its words in the tables', async () => {
    const asked = ['fit', data('upenn_resist_spin_curve.csv'), '--model', 'log(thickness) ~ log(rpm)']
    const { target } = await answerOf([...asked, '--target', '0.5'], shapes.fit)
    // In R 4.2.2, from the quadratic in ln x of (ln y − a − b·ln x)² = t²·var(a + b·ln x).
    expect(target?.setting).toBeCloseTo(3452.58649593075, 7)
    expect(target?.lower).toBeCloseTo(3355.08405565125, 7)
    expect(target?.upper).toBeCloseTo(3555.60682843545, 7)
    expect(target).toMatchObject({ column: 'rpm', scope: 'sameSession' })
    const { stdout } = await evenfilm([...asked, '--target', '0.5'])
    expect(stdout).toContain('Faster spin thins the film: doubling the speed gives 0.7')
    expect(stdout).toContain('The fit reaches thickness 0.5 um at rpm 3453.')
    expect(stdout).toContain('its mean is reached between 3355 and 3556')
  })

  test('the other columns stand where --at says, and --find names the column', async () => {
    const asked = ['fit', data('trees.csv'), '--model', 'log(Volume) ~ log(Girth) + log(Height)']
    const low = await answerOf(
      [...asked, '--target', '30', '--find', 'Girth', '--at', 'Height=70'],
      shapes.fit,
    )
    const high = await answerOf(
      [...asked, '--target', '30', '--find', 'Girth', '--at', 'Height=85'],
      shapes.fit,
    )
    expect(low.target?.at).toMatchObject({ Height: 70, Girth: low.target?.setting })
    // A taller tree needs less girth for the same volume.
    expect(low.target!.setting).toBeGreaterThan(high.target!.setting)
  })

  test('an interval without ends says so', async () => {
    const flat = fileWith('speed,thickness\n1,15\n2,14.8\n3,15.1\n4,14.95\n5,15.12\n6,14.89\n')
    const { target } = await answerOf(
      ['fit', flat, '--model', 'thickness ~ speed', '--target', '14.98'],
      shapes.fit,
    )
    expect(target).toMatchObject({ lower: null, upper: null })
    expect(target?.words).toContain('the slope is not clearly other than 0')
  })

  test.each([
    [['--target', '9000'], 1, 'targetNotReached'],
    [['--target', 'thick'], 2, 'badOption'],
    [['--target', '50', '--at', 'speed=10'], 2, 'badOption'],
    [['--target', '50', '--find', 'humidity'], 2, 'unknownColumn'],
    [['--find', 'speed'], 2, 'badOption'],
    [['--target', '50', '--surface', 'gp'], 2, 'badOption'],
    [['--box-cox', '--robust', 'huber'], 2, 'badOption'],
  ])('%j ends with %i', async (args, exit, code) => {
    const refusal = await refusalOf(['fit', data('cars.csv'), '--model', 'dist ~ speed', ...args])
    expect(refusal).toMatchObject({ exit, codes: [code] })
  })
})

test('--box-cox: trees, whatever function the model takes of the volume', async () => {
  // Venables & Ripley, Modern Applied Statistics with S: −0.067; more digits computed independently in R 4.2.2.
  for (const left of ['Volume', 'log(Volume)']) {
    const model = `${left} ~ log(Height) + log(Girth)`
    const { transformation } = await answerOf(
      ['fit', data('trees.csv'), '--model', model, '--box-cox'],
      shapes.fit,
    )
    expect(transformation?.lambda).toBeCloseTo(-0.06731681036, 6)
    expect(transformation?.lower).toBeCloseTo(-0.242435836865, 9)
    expect(transformation?.upper).toBeCloseTo(0.109529359148, 9)
    expect(transformation?.words).toContain(
      'The readings support a logarithm (λ −0.07, −0.24 to 0.11 at 95 %)',
    )
  }
})

test('a stated prior is named at every table of its numbers, and the slope is called an apparent exponent', async () => {
  const asked = ['fit', data('upenn_resist_spin_curve.csv'), '--model', 'log(thickness) ~ log(rpm)']
  const plain = await evenfilm([...asked, '--at', 'rpm=3000'])
  expect(plain.stdout).toMatch(
    /Apparent exponent, minus the slope of log\(rpm\): 0\.4\d+, 0\.\d+ to 0\.\d+ at/,
  )
  expect(plain.stdout).not.toContain('prior')
  const { stdout } = await evenfilm([...asked, '--exponent-prior', '0.5,0.05', '--target', '0.5'])
  const named = 'the stated prior of the apparent exponent, 0.5 ± 0.05'
  for (const place of ['Terms', 'Runs', 'Predictions, intervals at a level of 0.95'])
    expect(stdout).toContain(`${place}, with ${named}:`)
  for (const line of ['Apparent exponent, minus', 'The fit reaches'])
    expect(stdout.split('\n').find((each) => each.startsWith(line))).toContain(`(With ${named}.)`)
})

test('variance inflation stands beside the terms: stack loss', async () => {
  // Brownlee 1960, as shipped with R; computed with R 4.2.2.
  const asked = ['fit', data('stackloss.csv'), '--model', '"stack.loss" ~ "Air.Flow" + "Water.Temp"']
  const { terms } = await answerOf(asked, shapes.fit)
  // 1 / (1 − r²) of the two columns.
  expect(terms.map(({ varianceInflation }) => varianceInflation ?? null)[0]).toBeNull()
  expect(terms[1]?.varianceInflation).toBeCloseTo(2.572632294969, 10)
  expect((await evenfilm(asked)).stdout).toMatch(/inflation\n/)
})
