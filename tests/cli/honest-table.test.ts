import { describe, expect, test } from 'vitest'
import { answerOf, evenfilm, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

describe('what a person left out of an export stays out', () => {
  test('fit: runs excluded or dropped, each named', async () => {
    const file = fileWith(
      'run,state,speed,run excluded,thickness (nm)\nW1,measured,1000,,1000\nW2,measured,2000,,900\n' +
        'W3,measured,3000,,810\nW4,measured,4000,chuck lost vacuum,5000\nW5,dropped,5000,,1\n',
    )
    const fit = await answerOf(['fit', file, '--model', 'thickness ~ speed'], shapes.fit)
    expect(fit.n).toBe(3)
    expect(fit.runs.map(({ row }) => row)).toEqual([2, 3, 4])
    const left = fit.problems.filter(({ code }) => code === 'leftOut')
    expect(left.map(({ row }) => row)).toEqual([5, 6])
    expect(left[0]?.message).toContain('chuck lost vacuum')
  })

  test('film: excluded readings, and readings of other quantities', async () => {
    const file = fileWith(
      'run,quantity,site,x (mm),y (mm),value,unit,typed text,excluded\n' +
        'W1,thickness,1,0,0,1500,nm,1500,\nW1,thickness,2,10,0,1502,nm,1502,\n' +
        'W1,thickness,3,0,10,9999,nm,9999,comet\nW1,stress,,,,55,MPa,55,\n',
    )
    const { substrates } = await answerOf(['film', file, '--by', 'run'], shapes.film)
    expect(substrates[0]).toMatchObject({ n: 2, mean: 1501, excluded: [{ row: 4, reason: 'comet' }] })
  })
})

test('film: failed points are named, not dropped', async () => {
  const file = fileWith('site,thickness (nm)\n1,1500\n2,nan\n3,\n4,OL\n5,1502\n')
  const { substrates } = await answerOf(['film', file, '--value', 'thickness'], shapes.film)
  expect(substrates[0]?.n).toBe(2)
  expect(substrates[0]?.excluded.map(({ row }) => row)).toEqual([3, 4, 5])
  expect(substrates[0]?.excluded[0]?.reason).toContain('nan')
})

test('film: positions are taken in the unit of their column', async () => {
  const rows = [
    [0, 0, 1500],
    [4, 0, 1510],
    [0, 4, 1510],
    [-4, 0, 1510],
    [0, -4, 1510],
  ]
  const written = (unit: string, factor: number) =>
    fileWith(
      `x (${unit}),y (${unit}),thickness (nm)\n${rows
        .map(([x = 0, y = 0, t]) => `${x * factor},${y * factor},${t}`)
        .join('\n')}\n`,
    )
  const shapeOf = async (file: string) =>
    (await answerOf(['film', file, '--diameter', '100', '--edge', '5'], shapes.film)).substrates[0]?.shape
  expect(await shapeOf(written('cm', 1))).toEqual(await shapeOf(written('mm', 10)))
  const refusal = await refusalOf(['film', written('parsec', 1), '--diameter', '100', '--edge', '5'])
  expect(refusal.codes).toEqual(['unknownUnit'])
})

test('numbered sessions are names, as they are in the page', async () => {
  // Invented: three days with shifts of 0, +4 and −3 %, and 0.1 % of scatter.
  const shift = [1, 1.04, 0.97]
  const lines = Array.from({ length: 18 }, (_, i) => {
    const [speed, day] = [2000 + 500 * (i % 6), Math.floor(i / 6)]
    const thickness = 1500 * (speed / 3000) ** -0.5 * (shift[day] ?? 1) * (1 + 0.001 * Math.sin(5 * i))
    return `${day + 1},${speed},${thickness}`
  })
  const file = fileWith(`session,speed,thickness (nm)\n${lines.join('\n')}\n`)
  const model = 'log(thickness) ~ log(speed) + session'
  const fit = await answerOf(['fit', file, '--model', model, '--at', 'speed=3000,session=2'], shapes.fit)
  expect(fit.terms.map(({ term }) => term)).toEqual(['constant', 'log(speed)', 'session[2]', 'session[3]'])
  expect(fit.residualStandardDeviation).toBeLessThan(0.002)
  expect(fit.predictions).toHaveLength(1)
  expect((await evenfilm(['fit', file, '--model', model])).exit).toBe(0)
})
