import { describe, expect, test } from 'vitest'
import { answerOf, data, evenfilm, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

const file = data('upenn_resist_spin_curve.csv')
const curve = ['--model', 'log(thickness) ~ log(rpm) + log(rpm)^2']
const speed = ['--factor', 'rpm=500:6000:2:10 rpm log']
const goal = ['--target', '0.6', '--tolerance', '0.02']

describe('next, on the twelve-point resist speed curve', () => {
  test('the setting with the best chance, and what it costs', async () => {
    const { choices } = await answerOf(['next', file, ...curve, ...speed, ...goal], shapes.next)
    expect(choices).toHaveLength(1)
    const [choice] = choices
    // ln t = 4.73277994 − 0.88753482 ln ω + 0.02708077 (ln ω)², computed independently of this program.
    const ln = Math.log(choice?.settings.rpm as number)
    expect(choice?.estimate).toBeCloseTo(Math.exp(4.73277994 - 0.88753482 * ln + 0.02708077 * ln ** 2), 6)
    expect(Math.abs((choice?.estimate ?? 0) - 0.6)).toBeLessThan(0.002)
    expect((choice?.settings.rpm as number) % 10).toBe(0)
    expect(choice?.chanceInTolerance.sameSession).toBeGreaterThan(0.9)
    expect(choice?.chanceInTolerance.otherSession).toBeNull()
    expect(choice?.prediction.otherSession).toBeNull()
    expect(choice).toMatchObject({ varianceSource: 'estimated', extrapolates: false })
    expect(choice?.reason).toMatch(/0\.6 ± 0\.02 um: \d+ %/)
    expect(choice?.cost).toEqual({ minutes: 10, resistMl: 3.5, plateChange: false })
  })

  test('the run that teaches most, and alternatives that lie apart', async () => {
    const { choices } = await answerOf(
      ['next', file, ...curve, ...speed, ...goal, '--for', 'learn', '--count', '2'],
      shapes.next,
    )
    expect(choices).toHaveLength(2)
    expect(choices[0]?.reason).toContain('average standard error')
  })

  test('beyond the tested speeds it says so', async () => {
    const ended = await evenfilm([
      ...['next', file, ...curve, '--factor', 'rpm=6500:9000'],
      ...['--target', '0.38', '--tolerance', '0.03'],
    ])
    expect(ended.exit).toBe(0)
    expect(ended.stdout).toContain('above the highest tested, 6000')
    expect(ended.stderr).toContain('another day adds a variance')
  })

  test('no setting reaches the target: exit 1, with the nearest value', async () => {
    const refusal = await refusalOf(['next', file, ...curve, ...speed, '--target', '3', '--tolerance', '0.1'])
    expect(refusal).toMatchObject({ exit: 1, codes: ['outOfReach'] })
    expect(refusal.text).toContain('rpm 500')
  })

  test('as many terms as runs: exit 1', async () => {
    const short = fileWith('rpm,thickness\n1000,1500\n2000,1100\n3000,900\n')
    const refusal = await refusalOf([
      'next',
      short,
      ...curve,
      ...speed,
      '--target',
      '1000',
      '--tolerance',
      '10',
    ])
    expect(refusal).toMatchObject({ exit: 1, codes: ['noDegreesOfFreedom'] })
  })

  test('a range in another unit than the column is converted, or refused', async () => {
    const rows = [10, 20, 30, 40, 50, 60].map(
      (time, i) => `${time},${2000 + 400 * i},${1800 - 5 * time + (i % 2)}`,
    )
    const timed = fileWith(`time (s),speed (rpm),thickness (nm)\n${rows.join('\n')}\n`)
    const ask = (model: string, factor: string) => [
      'next',
      timed,
      '--model',
      model,
      '--factor',
      factor,
      '--target',
      '1600',
      '--tolerance',
      '20',
    ]
    const minutes = await answerOf(ask('thickness ~ time', 'time=0.5:1:2:0.05 min'), shapes.next)
    expect(minutes.choices[0]?.settings.time).toBe(39)
    const thousands = await answerOf(ask('thickness ~ speed', 'speed=2:4:2:0.1 krpm'), shapes.next)
    expect(thousands.choices[0]?.settings.speed).toBeGreaterThanOrEqual(2000)
    const refusal = await refusalOf(ask('thickness ~ time', 'time=20:60 rpm'))
    expect(refusal).toMatchObject({ exit: 2, codes: ['unitMismatch'] })
    expect(refusal.text).toContain('in rpm, the column in s')
  })

  test.each([
    [[...curve, ...speed, '--target', '0.6'], 'missingOption'],
    [[...curve, ...speed, '--target', '0.6', '--tolerance', '0'], 'badOption'],
    [[...curve, ...speed, ...goal, '--for', 'fun'], 'badOption'],
    [[...curve, '--factor', 'speed=500:6000', ...goal], 'unknownColumn'],
    [[...curve, '--factor', 'rpm=A|B', ...goal], 'badFactor'],
    [[...curve, '--factor', 'thickness=0:1', ...goal], 'missingFactor'],
  ])('exit 2 for %j', async (args, code) => {
    const refusal = await refusalOf(['next', file, ...args])
    expect(refusal.exit).toBe(2)
    expect(refusal.codes).toContain(code)
  })
})
