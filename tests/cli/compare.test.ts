import { describe, expect, test } from 'vitest'
import { answerOf, data, evenfilm, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

describe('compare', () => {
  test('two sets of film thicknesses: one mean for both', async () => {
    // Hurwitz & Spagon, SEMATECH (NIST data files SPAGON1–4.DAT): pooled t 0.6535687135 on 30 degrees of freedom,
    // p 0.518368171, means 3200 and 3150; computed independently of this program.
    const file = data('spagon_film_thickness.csv')
    const args = ['compare', file, '--model', 'thickness ~ 1', '--by', 'test']
    const wide = await answerOf([...args, '--margin', '10%'], shapes.compare)
    expect(wide.groups).toEqual(['1', '2'])
    const [same] = wide.tests
    expect(same?.f).toBeCloseTo(0.6535687135 ** 2, 9)
    expect([same?.df1, same?.df2]).toEqual([1, 30])
    expect(same?.p).toBeCloseTo(0.518368171, 8)
    expect(wide.shifts[0]?.ratio).toBeCloseTo(3150 / 3200, 12)
    expect(wide.shifts[0]?.equivalent).toBe(true)
    const narrow = await answerOf([...args, '--margin', '0.02'], shapes.compare)
    expect(narrow.shifts[0]?.equivalent).toBe(false)
    expect(narrow.reference.group).toBe('1')
    // The t test of means is that of the ratio 1; equivalence within ±2 % is far from shown.
    expect(narrow.shifts[0]?.pDifferent).toBeCloseTo(0.518368171, 8)
    expect(narrow.shifts[0]?.pEquivalent).toBeGreaterThan(0.05)
    const said = (await evenfilm([...args, '--margin', '2%'])).stdout
    expect(said).toContain('0.5184')
    expect(said).toContain('do not yet tell equivalence of test 2 and test 1 within ±2 %')
  })

  test('two lines that are not parallel', async () => {
    // Whiteside's gas use (Venables & Ripley, MASS): equal slopes F(1, 52) 12.89287, p 0.00073069; intercepts
    // against the error of the full model 318.45059; computed with R.
    const ended = await evenfilm([
      'compare',
      data('whiteside_gas.csv'),
      '--model',
      'Gas ~ Temp',
      '--by',
      'Insul',
    ])
    expect(ended.exit).toBe(0)
    expect(ended.stdout).toMatch(/parallel curves\s+12\.89\s+1, 52\s+0\.0007/)
    expect(ended.stdout).toMatch(/one curve for all\s+318\.5\s+1, 52\s+< 0\.0001/)
    expect(ended.stderr).toContain('not parallel')
    // The slope difference 0.1153 (standard error 0.0321, t(0.975; 52) = 2.0066) over the slope of −0.3932.
    expect(ended.stdout).toMatch(/is 12\.9 % to 45\.7 % flatter than Insul Before’s .*: not parallel/)
  })

  test('lots of different days are not judged equivalent', async () => {
    const rows = [2000, 3000, 4000].flatMap((speed, i) => [
      `${speed},A,day 1,${60000 / Math.sqrt(speed) + i}`,
      `${speed},B,day 2,${60000 / Math.sqrt(speed) - i}`,
    ])
    const file = fileWith(`speed,lot,session,thickness\n${rows.join('\n')}\n`)
    const args = ['compare', file, '--model', 'log(thickness) ~ log(speed)', '--target', '1100']
    const { shifts } = await answerOf([...args, '--margin', '5%'], shapes.compare)
    expect(shifts[0]?.equivalent).toBeNull()
    expect(shifts[0]?.speedFor).toBeGreaterThan(2500)
  })

  test('without a group column, or with one group, there is nothing to compare', async () => {
    const file = data('upenn_resist_spin_curve.csv')
    const args = ['compare', file, '--model', 'log(thickness) ~ log(rpm)']
    expect(await refusalOf(args)).toMatchObject({ exit: 2, codes: ['unknownColumn'] })
    const single = fileWith('lot,speed,thickness\nA,1000,3\nA,2000,2\nA,3000,1.7\nA,4000,1.4\n')
    const refusal = await refusalOf(['compare', single, '--model', 'log(thickness) ~ log(speed)'])
    expect(refusal).toMatchObject({ exit: 2, codes: ['oneGroup'] })
  })

  test('what lots share in a session cancels in the shift; a third of the tolerance is the margin; speeds as the coater takes them', async () => {
    const rows = [0, 0.02].flatMap((day, d) =>
      [2000, 2500, 3000, 3500, 4000].flatMap((speed, i) =>
        ['A', 'B'].map((lot, l) => {
          const wobble = 0.0005 * Math.sin(7 * i + 3 * l + d)
          const thickness = 1560 * (speed / 3000) ** -0.5 * (lot === 'B' ? 1.02 : 1) * Math.exp(day + wobble)
          return `${speed},${lot},day ${d},${thickness}`
        }),
      ),
    )
    const file = fileWith(`speed,lot,session,thickness\n${rows.join('\n')}\n`)
    const args = ['compare', file, '--model', 'log(thickness) ~ log(speed)', '--target', '1500']
    const found = await answerOf([...args, '--tolerance', '30', '--step', '10'], shapes.compare)
    const [b] = found.shifts
    expect(found.variation.map(({ group }) => group)).toEqual(['session', 'residual'])
    expect((b?.upper as number) - (b?.lower as number)).toBeLessThan(0.002)
    expect((b?.speedUpper as number) - (b?.speedLower as number)).toBeGreaterThan(100)
    expect((b?.besideUpper as number) - (b?.besideLower as number)).toBeLessThan(30)
    expect((b?.speedSet as number) % 10).toBe(0)
    const said = (await evenfilm([...args, '--tolerance', '30', '--step', '10'])).stdout
    expect(said).toContain('equal within 0.67 %')
    expect(said).toContain('What two lots share in a session cancels')
    const refusal = await refusalOf([
      'compare',
      file,
      '--model',
      'log(thickness) ~ log(speed)',
      '--tolerance',
      '30',
    ])
    expect(refusal.codes).toEqual(['missingOption'])
  })
})
