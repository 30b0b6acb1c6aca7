import { describe, expect, test, vi } from 'vitest'
import { main } from '../../electron/cli/main.ts'
import { answerOf, data, documentOf, evenfilm, evenfilmHere, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

/** Limits here are common practice, no source: a ramp shorter than its segment, 6000 rpm, 300 °C, the chuck. */
describe('check', () => {
  const check = async (args: string[]) => {
    const ended = await evenfilmHere(['check', ...args, '--json'])
    return { exit: ended.exit, ...documentOf(ended, shapes.check) }
  }

  test('a program within the limits, with the time left at speed', async () => {
    const result = await check([
      ...['--segment', '500 rpm, 500 rpm/s, 5 s', '--segment', '3000 rpm, 1000 rpm/s, 30 s'],
      ...['--segment', '0 rpm, 1000 rpm/s, 3 s', '--diameter', '100', '--chuck', '60'],
      ...['--bake', '100 degC, 60 s'],
    ])
    expect(result).toMatchObject({ exit: 0, ok: true, findings: [] })
    expect(result.segments[1]).toEqual({
      from: 500,
      to: 3000,
      ramp: 1000,
      time: 30,
      rampTime: 2.5,
      timeAtSpeed: 27.5,
    })
  })

  test('a ramp as long as its segment is outside, unless it stops the chuck', async () => {
    const result = await check(['--segment', '500 rpm, 100 rpm/s, 5 s', '--segment', '0 rpm, 100 rpm/s, 5 s'])
    expect(result).toMatchObject({ exit: 1, ok: false })
    expect(
      result.findings
        .filter(({ severity }) => severity === 'outside')
        .map(({ code, segment }) => [code, segment]),
    ).toEqual([['ramp', 1]])
  })

  test('the chuck under a rectangle: its short side, and half of its diagonal as a warning', async () => {
    const under = async (chuck: string) => {
      const { exit, findings } = await check(['--chuck', chuck, '--width', '60', '--height', '30'])
      return [exit, findings.map(({ code, severity }) => [code, severity])]
    }
    expect(await under('32')).toEqual([1, [['chuck', 'outside']]])
    expect(await under('25')).toEqual([0, [['chuck', 'warning']]])
  })

  test('the same ramp is no matter where the time comes on top of it', async () => {
    const result = await check(['--segment', '500 rpm, 100 rpm/s, 15 s', '--ramp', 'outside'])
    expect(result).toMatchObject({ exit: 0, ok: true })
    expect(result.segments[0]).toMatchObject({ rampTime: 5, timeAtSpeed: 15 })
  })

  test('speed, bake and chuck against limits that nobody has confirmed, or that were given', async () => {
    const usual = await check([
      ...['--segment', '6500 rpm, 3000 rpm/s, 30 s', '--bake', '310 degC, 60 s'],
      ...['--diameter', '100', '--chuck', '50'],
    ])
    expect(usual.exit).toBe(1)
    expect(
      usual.findings.map(({ code, value, limit, limitConfirmed }) => [code, value, limit, limitConfirmed]),
    ).toEqual([
      ['speed', 6500, 6000, false],
      ['chuck', 50, 50, false],
      ['bake', 310, 300, false],
    ])
    const own = await check([
      ...['--segment', '6500 rpm, 3000 rpm/s, 30 s', '--max-speed', '8000'],
      ...['--bake', '240 degC, 60 s', '--max-bake', '230'],
    ])
    expect(own.findings.map(({ code, limitConfirmed }) => [code, limitConfirmed])).toEqual([['bake', true]])
  })

  test('cautions go to standard error, and nothing is called safe', async () => {
    const ended = await evenfilm(['check', '--segment', '3000 rpm, 1000 rpm/s, 30 s'])
    expect(ended.exit).toBe(0)
    expect(ended.stderr).toContain('safety data sheet')
    expect(ended.stdout).toMatch(/chuck\s+not checked/)
    // On a terminal, where both go to one place, the answer comes first.
    const both: string[] = []
    const listen = (stream: 'stdout' | 'stderr') =>
      vi.spyOn(process[stream], 'write').mockImplementation((text) => both.push(String(text)) > 0)
    const spies = [listen('stdout'), listen('stderr')]
    await main(['check', '--segment', '3000 rpm, 1000 rpm/s, 30 s'])
    for (const spy of spies) spy.mockRestore()
    const place = (words: string) => both.findIndex((text) => text.includes(words))
    expect(place('not checked')).toBe(0)
    expect(place('safety data sheet')).toBeGreaterThan(0)
    expect(`${ended.stdout}${ended.stderr}`).not.toMatch(/\bsafe\b/i)
  })

  test('a segment that cannot be read is exit 2, and still its own shape', async () => {
    const ended = await evenfilm(['check', '--segment', '3000 rpm, 1000 nm, 30 s', '--json'])
    expect(ended.exit).toBe(2)
    expect(JSON.parse(ended.stdout)).toMatchObject({
      ok: false,
      segments: [],
      findings: [],
      problems: [{ code: 'badSegment' }],
    })
    expect(ended.stderr).toContain('‘nm’ is no unit of speed, ramp, time')
  })
})

describe('film', () => {
  test('the 300-site wafer map, its flagged readings left out', async () => {
    // J. Ehrstein's resistivity map (NIST data file EHRSTEIN.DAT): 10 readings carry a minus sign, 3 are 0; the
    // 290 positive or zero ones have mean 14.0269345862 and standard deviation 1.4547637884, computed independently.
    const args = ['--value', 'value', '--diameter', '125', '--edge', '3']
    const { substrates } = await answerOf(['film', data('ehrstein_wafer_map.csv'), ...args], shapes.film)
    const [map] = substrates
    expect(substrates).toHaveLength(1)
    expect(map?.n).toBe(287)
    expect(map?.excluded).toHaveLength(13)
    const sum = 290 * 14.0269345862
    const squares = 289 * 1.4547637884 ** 2 + 290 * 14.0269345862 ** 2
    const mean = sum / 287
    expect(map?.mean).toBeCloseTo(mean, 8)
    expect(map?.standardDeviation).toBeCloseTo(Math.sqrt((squares - 287 * mean ** 2) / 286), 6)
    expect(map?.shape.bowl).not.toBeNull()
  })

  test('a rectangle, with its radius, and a site that lies too near to its side', async () => {
    const sites = ['-25,10,1502', '25,10,1504', '0,0,1500', '-25,-10,1502', '25,-10,1504', '0,13,1530']
    const file = fileWith(`x,y,thickness (nm)\n${sites.join('\n')}\n`)
    const args = ['film', file, '--width', '60', '--height', '30', '--edge', '5']
    const { substrates } = await answerOf(args, shapes.film)
    const [piece] = substrates
    expect(piece).toMatchObject({ n: 5, shapeRadius: Math.hypot(30, 15) })
    expect(piece?.excluded).toEqual([
      { row: 7, reason: 'The site is 2.0 mm from the edge, within the edge exclusion of 5 mm.' },
    ])
    // The bisectors with the corners: nearest to the middle is where 25|x| + 10|y| ≤ 362.5, x ≤ 14.5 to 10.5.
    const middle = 4 * (10 * ((10.5 + 14.5) / 2))
    const share = middle / 1000
    const corners = (1502 + 1504) / 2
    expect(piece?.areaWeightedMean).toBeCloseTo(share * 1500 + (1 - share) * corners, 9)
    const notes = (await evenfilm([...args.slice(0, 6), '--edge', '1'])).stderr
    expect(notes).toContain('1 of 6 sites lies less than 5 mm from the edge, the nearest 2 mm.')
  })

  test('the size of a substrate is a diameter or both sides', async () => {
    const file = fileWith('x,y,thickness\n0,0,1500\n')
    const refused = async (args: string[]) => (await refusalOf(['film', file, ...args])).text
    expect(await refused(['--width', '60'])).toBe('--width belongs to --height.')
    expect(await refused(['--width', '60', '--height', '30', '--diameter', '100'])).toMatch(/^--diameter/)
    expect(await refused(['--width', '60', '--height', '30', '--edge', '15'])).toMatch(
      /^--edge 15: .* 60 × 30 mm/,
    )
  })

  test('five sites by hand, by substrate, without positions', async () => {
    // Worked example with the definitions of non-uniformity in use; values computed independently.
    const sites = [1012.4, 1008.9, 1015.2, 1003.7, 1010.1]
    const file = fileWith(`wafer,thickness (nm)\n${sites.map((nm) => `A,${nm}\nB,${2 * nm}\n`).join('')}`)
    const { substrates } = await answerOf(['film', file, '--by', 'wafer'], shapes.film)
    expect(substrates.map(({ id, n }) => [id, n])).toEqual([
      ['A', 5],
      ['B', 5],
    ])
    const [a, b] = substrates
    expect(a?.mean).toBeCloseTo(1010.06, 10)
    expect(a?.standardDeviation).toBeCloseTo(4.292202231955056, 10)
    expect(a?.nonUniformity.halfRangeOverMean).toBeCloseTo(0.569273112488367, 10)
    expect(a?.nonUniformity.halfRangeOverMidRange).toBeCloseTo(0.569617118232701, 10)
    expect(b?.nonUniformity.threeStandardDeviationsOverMean).toBeCloseTo(1.274835821224993, 10)
    expect(a?.shape.bowl).toBeNull()
  })

  test('rows that sum the others up are left aside and named', async () => {
    const rows = ['A,1012.4', 'A,1008.9', 'A,1015.2', 'A,1003.7', 'A,1010.1']
    const sums = ['Mean,1010.06', 'Std. dev.,4.2922', 'Min,1003.7', 'Max,1015.2']
    const text = (lines: string[]) => `wafer,thickness (nm)\n${lines.join('\n')}\n`
    const own = await answerOf(['film', fileWith(text(rows)), '--by', 'wafer'], shapes.film)
    const file = fileWith(text([...rows, ...sums]))
    expect(await answerOf(['film', file, '--by', 'wafer'], shapes.film)).toEqual(own)
    expect(own.substrates.map(({ id, n }) => [id, n])).toEqual([['A', 5]])
    const { stderr } = await evenfilmHere(['film', file, '--by', 'wafer'])
    for (const [row, word] of [
      [7, 'Mean'],
      [8, 'Std. dev.'],
      [9, 'Min'],
      [10, 'Max'],
    ])
      expect(stderr).toContain(`Row ${row} (‘${word}’) sums up the others.`)
    // Words in a column of positions or of site numbers are no bad numbers then.
    const sited = fileWith('x,y,thickness\n0,0,1500\n10,0,1502\n0,10,1498\nmean,,1500\nrange,,4\n')
    const { substrates } = await answerOf(['film', sited, '--diameter', '100'], shapes.film)
    expect(substrates[0]).toMatchObject({ n: 3, mean: 1500 })
    const bare = fileWith(text(['Mean,1010.06']))
    expect(await refusalOf(['film', bare])).toMatchObject({ exit: 2, codes: ['noReadings'] })
  })

  test('bad input is exit 2', async () => {
    const file = data('ehrstein_wafer_map.csv')
    expect(await refusalOf(['film', file, '--diameter', '100', '--edge', '50'])).toMatchObject({ exit: 2 })
    expect(await refusalOf(['film', file, '--value', 'none'])).toMatchObject({
      exit: 2,
      codes: ['unknownColumn'],
    })
    const slip = fileWith('x,y,thickness\n0,0,1500\n10,0,oops\n0,10,1490\n')
    expect((await refusalOf(['film', slip, '--diameter', '100'])).text).toContain('Row 3')
  })
})

describe('trace', () => {
  const file = data('iso5436_A1_profile_tilt_ripple.csv')

  test('a tilted, rippled groove after ISO 5436-1:2000, type A1', async () => {
    // Expected values computed independently of this program from the definition.
    const trace = await answerOf(['trace', file, '--step', '-45:45'], shapes.trace)
    expect(trace.step).toBeCloseTo(-1248.0679606821786, 8)
    expect(trace.slope).toBeCloseTo(0.7983770408921932, 10)
    expect(trace.residualStandardDeviation).toBeCloseTo(5.365689264156353, 8)
    expect(trace.width).toBe(90)
  })

  test('its kind, the parts of its uncertainty, and what was left out', async () => {
    const trace = await answerOf(['trace', file], shapes.trace)
    expect(trace.kind).toBe('groove')
    const { residuals, regions, form } = trace.uncertainty
    expect(trace.standardUncertainty).toBeCloseTo(Math.hypot(residuals, regions ?? 0, form), 12)
    expect(trace.points).toMatchObject({ used: 153, leftOut: 0 })
  })

  test('several scans: each, and their mean', async () => {
    const lines = (depth: number) =>
      Array.from({ length: 271 }, (_, i) => `${i};${(i > 90 && i < 180 ? -depth : 0) + (i % 3)}`)
    const files = [100, 110, 120].map((depth) =>
      fileWith(['Stylus force;3 mg', 'Lateral;Profile', 'um;Å', ...lines(depth * 10)].join('\n')),
    )
    const { scans, mean } = await answerOf(['trace', ...files, '--step', '90:180'], shapes.traces)
    expect(scans.map(({ step }) => Math.round(step))).toEqual([-100, -110, -120])
    expect(mean).toMatchObject({ n: 3 })
    expect(mean.standardDeviation).toBeCloseTo(10, 6)
    expect(mean.uncertainty.scatter).toBeCloseTo(10 / Math.sqrt(3), 6)
  })

  test('a single edge, named so', async () => {
    const edge = fileWith(
      `position (mm),height (nm)\n${Array.from({ length: 200 }, (_, i) => `${i / 1000},${(i > 90 ? 500 : 0) + (i % 2)}`).join('\n')}`,
    )
    const ended = await evenfilmHere(['trace', edge, '--json'])
    const found = documentOf(ended, shapes.trace)
    expect(found.kind).toBe('edge')
    expect(Math.abs(found.step - 500)).toBeLessThan(2 * found.standardUncertainty)
    expect(ended.stderr).toContain('single edge')
    const given = await answerOf(['trace', edge, '--edge', '85:96'], shapes.trace)
    expect(given.edges).toEqual([85, 96])
  })

  test('no step, no answer', async () => {
    const flat = fileWith(
      `position,height\n${Array.from({ length: 100 }, (_, i) => `${i},${i % 2}`).join('\n')}\n`,
    )
    expect(await refusalOf(['trace', flat])).toMatchObject({ exit: 1, codes: ['noStep'] })
    expect(await refusalOf(['trace', file, '--step', '45'])).toMatchObject({ exit: 2, codes: ['badOption'] })
  })
})
