import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { answerOf, evenfilm, evenfilmHere, fileWith, folder, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

const sweep = [
  ...['--factor', 'speed=2000:4500:3:10 rpm', '--factor', 'time=20:60:2 s'],
  ...['--factor', 'bake=90:110:3:1 degC hard'],
]

describe('plan', () => {
  test('a 3 × 2 × 3 grid with centre points, grouped by the hot plate, once for each seed', async () => {
    const plan = await answerOf(['plan', ...sweep, '--centre', '3', '--seed', '11'], shapes.plan)
    expect(plan.seed).toBe(11)
    expect(plan.factors.map(({ role, unit, hardToChange }) => [role, unit, hardToChange])).toEqual([
      ['speed', 'rpm', false],
      ['time', 's', false],
      ['bake temperature', '°C', true],
    ])
    expect(plan.runs).toHaveLength(21)
    const grid = plan.runs.filter(({ kind }) => kind === 'factorial')
    expect(new Set(grid.map(({ settings }) => JSON.stringify(settings))).size).toBe(18)
    expect(plan.runs.map(({ runOrder }) => runOrder)).toEqual(plan.runs.map((_, i) => i + 1))
    for (const { settings, plateVisit } of plan.runs)
      expect(settings.bake).toBe(plan.runs.find((run) => run.plateVisit === plateVisit)?.settings.bake)
    expect(plan.budget.plateChanges).toBe(2)
    const again = await answerOf(['plan', ...sweep, '--centre', '3', '--seed', '11'], shapes.plan)
    expect(again).toEqual(plan)
    const other = await answerOf(['plan', ...sweep, '--centre', '3', '--seed', '12'], shapes.plan)
    expect(other.runs).not.toEqual(plan.runs)
  })

  test('a rehearsal of the plan on an invented film, marked as such', async () => {
    const asked = ['plan', ...sweep, '--rehearse', '6', '--target', '1500', '--tolerance', '30']
    const { rehearsal } = await answerOf(asked, shapes.plan)
    expect(rehearsal).toMatchObject({ simulated: true, times: 6, targetNm: 1500, factor: 'speed' })
    expect(rehearsal?.studies).toHaveLength(6)
    const { stdout } = await evenfilm(asked)
    expect(stdout).toContain('Rehearsal on an invented film: nothing here was measured.')
    expect(stdout).toMatch(/In 6 rehearsals the recipe was within ±30 nm in \d/)
    const without = await refusalOf(['plan', ...sweep, '--rehearse', '6'])
    expect(without.text).toContain('--rehearse needs --target')
    const stray = await refusalOf(['plan', ...sweep, '--target', '1500'])
    expect(stray.text).toContain('--target belongs to --rehearse')
  })

  test('efficiencies of published designs', async () => {
    // 3², quadratic: D-efficiency 46.224085 %; face-centred composite, 2 factors, 5 centre points: 38.891981 %
    // (computed independently of this program from 100·|X′X|^(1/p)/n).
    const two = (levels: number) => ['--factor', `a=-1:1:${levels}`, '--factor', `b=-1:1:${levels}`]
    const grid = await answerOf(['plan', ...two(3)], shapes.plan)
    expect(grid.evaluation.dEfficiency).toBeCloseTo(46.224085, 6)
    const composite = await answerOf(
      ['plan', ...two(2), '--design', 'composite', '--centre', '5'],
      shapes.plan,
    )
    expect(composite.runs).toHaveLength(13)
    expect(composite.evaluation.dEfficiency).toBeCloseTo(38.891981, 6)
  })

  test('a fraction by its generators, with what cannot be told apart', async () => {
    // Box, Hunter & Hunter, Statistics for Experimenters (1978), p. 410: 2^(4−1) with D = ABC has resolution IV.
    const factors = ['a', 'b', 'c', 'd'].flatMap((name) => ['--factor', `${name}=-1:1`])
    const plan = await answerOf(
      ['plan', ...factors, '--design', 'fraction', '--fraction', 'd=a.b.c'],
      shapes.plan,
    )
    expect(plan.runs).toHaveLength(8)
    for (const { coded } of plan.runs)
      expect(coded.d).toBe((coded.a as number) * (coded.b as number) * (coded.c as number))
    expect(JSON.stringify(plan.evaluation.aliases)).toContain('c.d')
  })

  test('completes runs already made', async () => {
    const keep = fileWith('speed (rpm),time,thickness\n2000,20,2000\n4500,60,1300\n')
    const factors = ['--factor', 'speed=2000:4500', '--factor', 'time=20:60']
    const plan = await answerOf(
      ['plan', ...factors, '--design', 'optimal', '--runs', '4', '--keep', keep],
      shapes.plan,
    )
    expect(plan.runs.filter(({ kind }) => kind === 'kept').map(({ settings }) => settings)).toEqual([
      { speed: 2000, time: 20 },
      { speed: 4500, time: 60 },
    ])
    expect(plan.runs.filter(({ kind }) => kind === 'optimal')).toHaveLength(4)
  })

  test('compares numbers of visits and takes the fewest that do, in blocks too', async () => {
    const factors = ['--factor', 'speed=2000:4500', '--factor', 'bake=90:110 degC hard']
    const optimal = ['plan', ...factors, '--design', 'optimal', '--runs', '10']
    const plan = await answerOf([...optimal, '--visits', 'auto'], shapes.plan)
    const chosen = plan.visitChoices?.filter((choice) => choice.chosen) ?? []
    expect(chosen).toHaveLength(1)
    expect(new Set(plan.runs.map((run) => run.plateVisit)).size).toBe(chosen[0]?.visits)
    const said = await evenfilmHere([...optimal, '--visits', 'auto'])
    expect(said.stdout).toContain('Numbers of visits compared')
    const inBlocks = await answerOf([...optimal, '--visits', '4', '--blocks', '2'], shapes.plan)
    expect(new Set(inBlocks.runs.map((run) => `${run.block}, ${run.plateVisit}`)).size).toBe(4)
    expect(inBlocks.evaluation.blockEfficiency).toBeGreaterThan(90)
    const few = await refusalOf([...optimal, '--visits', '2', '--blocks', '3'])
    expect(few).toMatchObject({ exit: 2, codes: ['tooFewVisits'] })
  })

  test('writes the run table and says the order in words', async () => {
    const file = join(folder(), 'plan.csv')
    const ended = await evenfilm(['plan', ...sweep, '--csv', file, '--sigma', '0.5%'])
    expect(ended.exit).toBe(0)
    expect(ended.stdout).toContain('grouped into 3 plate visits')
    expect(ended.stdout).toContain('smallest effect (%)')
    const [header, ...rows] = readFileSync(file, 'utf8').replace('\uFEFF', '').trim().split('\r\n')
    expect(header).toBe('run order,standard order,block,plate visit,kind,speed (rpm),time (s),bake (°C)')
    expect(rows).toHaveLength(18)
  })

  test.each([
    [['plan'], 'missingOption'],
    [['plan', '--factor', 'speed'], 'badFactor'],
    [['plan', '--factor', 'speed=4000:2000'], 'badFactor'],
    [['plan', '--factor', 'speed=2000:4000:x'], 'badFactor'],
    [['plan', '--factor', 'speed=2000:4000 rpm fast'], 'badFactor'],
    [['plan', '--factor', 'speed=0:4000 log'], 'badFactor'],
    [['plan', '--factor', 'lot=A'], 'badFactor'],
    [['plan', '--factor', 'lot=A|A'], 'badFactor'],
    [['plan', '--factor', 'a=0:1', '--factor', 'a=0:1'], 'duplicateFactor'],
    [['plan', '--factor', 'a=0:1', '--centre', '1.5'], 'badOption'],
    [['plan', '--factor', 'a=0:1', '--design', 'grid'], 'badOption'],
    [['plan', '--factor', 'a=0:1', '--star', 'face'], 'badOption'],
    [['plan', '--factor', 'a=0:1', '--visits', '3'], 'badOption'],
    [['plan', '--factor', 'a=0:1 hard', '--visits', 'auto'], 'badOption'],
    [['plan', '--factor', 'a=0:1', '--center', '3'], 'unknownOption'],
    [['plan', '--factor', 'a=0:1', '--seed', '1', '--seed', '2'], 'givenTwice'],
    [['plan', '--factor', 'a=0:1:23', '--factor', 'b=0:1:23'], 'tooManyRuns'],
    [['plan', '--factor', 'a=0:1', '--csv', '/nowhere/plan.csv'], 'cannotWrite'],
  ])('exit 2 for %j', async (args, code) => {
    expect(await refusalOf(args)).toMatchObject({ exit: 2, codes: [code] })
  })
})

describe('a plan for a slot', () => {
  test('tells the timeline, what the order saves and what to drop', async () => {
    const plan = await answerOf(
      ['plan', ...sweep, '--slot', '3', '--visit-order', 'cheapest', '--bottle', '100'],
      shapes.plan,
    )
    // 20 coats of 6 min, 18 readings of 4 min, 23.3 min for the plate, and until it is at 90 °C for the first time.
    const first = (90 - 21) / 6 + 10
    expect(plan.timeline.sessions[0]?.finish).toBeCloseTo(192 + 23 + 1 / 3 + first, 6)
    expect(plan.timeline.sessions[0]?.over).toBeCloseTo(35 + 1 / 3 + first, 6)
    const set = ['plan', ...sweep, '--slot', '3', '--visit-order', 'cheapest', '--plate-start', 'set']
    expect((await answerOf(set, shapes.plan)).timeline.sessions[0]?.over).toBeCloseTo(35 + 1 / 3, 6)
    const nearly = await answerOf(
      ['plan', ...sweep, '--slot', '3.9', '--visit-order', 'cheapest'],
      shapes.plan,
    )
    const before = nearly.waysToFit.find(({ study }) => study?.plateAtStart === 'set beforehand')
    expect(before).toMatchObject({ fits: true, saves: expect.closeTo(first, 6) })
    expect(plan.minutesSaved).toBeGreaterThan(100)
    expect(plan.budget.leftInBottleMl).toBe(100 - 85)
    expect(plan.waysToFit.some(({ fits }) => fits)).toBe(true)
    const { stdout } = await evenfilm(['plan', ...sweep, '--slot', '3', '--start', '09:00', '--bottle', '50'])
    expect(stdout).toMatch(/takes \d+ min at 1\d:\d\d, over by \d+ min/)
    expect(stdout).toContain('35.0 mL more than the bottle holds')
    expect(stdout).toContain('Drop one of:')
    expect(stdout).toMatch(/saves \d+ min of waiting on average/)
  })

  test('spreads runs over sessions with a reference wafer first and last in each', async () => {
    const csv = join(folder(), 'sessions.csv')
    const plan = await answerOf(
      ['plan', ...sweep, '--sessions', '3', '--reference', '--reading', 'later', '--csv', csv],
      shapes.plan,
    )
    expect(new Set(plan.runs.map(({ session }) => session)).size).toBe(3)
    expect(plan.runs.filter(({ kind }) => kind === 'reference')).toHaveLength(6)
    expect(plan.timeline.minutesLater).toBe(24 * 4)
    const [header, first] = readFileSync(csv, 'utf8').split(/\r?\n/)
    expect(header).toContain('session')
    expect(first).toContain('Session 1')
    expect(first).toContain('reference')
  })

  test.each([
    [['--start', '9 o’clock'], 'start'],
    [['--sessions', '4'], 'sessions'],
    [['--slot', '0'], 'slot'],
    [['--plate-start', 'warm'], 'plate-start'],
    [['--reading', 'never'], 'reading'],
    [['--visit-order', 'alphabetical'], 'visit-order'],
  ])('%j is refused with its option', async (options, column) => {
    const refused = await refusalOf(['plan', ...sweep, ...options])
    expect(refused).toMatchObject({ exit: 2, codes: ['badOption'] })
    expect(refused.text).toContain(`--${column}`)
  })
})
