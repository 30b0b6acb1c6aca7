import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Settings } from '../../../shared/contract/things.ts'
import { fitSpinCurve, type SpinCurveOptions } from '../../../shared/model/spin-curve.ts'
import type { Table } from '../../../shared/model/table.ts'
import { tableOf } from './some-runs.ts'

const speed = [1000, 1500, 2000, 3000, 4000, 6000]
const films = (k: number, b: number, offset: number) => speed.map((s) => k * s ** -b + offset)

test('curves are found from no start values, by lot, whatever the scale', () => {
  const exponent = fc.double({ min: 0.3, max: 1, noNaN: true })
  const share = fc.double({ min: -0.5, max: 3, noNaN: true })
  fc.assert(
    fc.property(exponent, share, fc.constantFrom(1e-3, 1, 1e4), (b, part, scale) => {
      const at3000 = scale * 3000 ** -b
      const thickness = films(scale, b, part * at3000)
      if (Math.min(...thickness) <= 0) return
      const answer = fitSpinCurve({ table: tableOf({ rpm: speed, thickness }), kind: 'offset' })
      const { parameters } = answer.ok ? answer.value : { parameters: undefined }
      expect(Math.abs((parameters?.['apparent exponent'] ?? Number.NaN) - b)).toBeLessThan(1e-5)
      expect(Math.abs((parameters?.offset ?? Number.NaN) - part * at3000)).toBeLessThan(1e-4 * at3000)
    }),
    { numRuns: 60 },
  )
})

describe('what a spin curve cannot be fitted to', () => {
  const thickness = films(5e4, 0.5, 100).map((film, i) => film + (-1) ** i)
  const good = tableOf({ speed, thickness, lot: ['a', 'a', 'a', 'a', 'b', 'b'] })
  const refusals: [string, Table, Partial<SpinCurveOptions>, object][] = [
    [
      'a lot with fewer runs than parameters',
      good,
      { by: 'lot' },
      { code: 'fewerRunsThanTerms', column: 'lot' },
    ],
    ['no such lot column', good, { by: 'batch' }, { code: 'unknownColumn', column: 'batch' }],
    ['no such speed', good, { speed: 'turns' }, { code: 'unknownColumn', column: 'turns' }],
    ['texts for speeds', good, { speed: 'lot' }, { code: 'notANumber', column: 'lot' }],
    [
      'a speed of 0',
      tableOf({ speed: [0, ...speed.slice(1)], thickness }),
      {},
      { code: 'outsideDomain', row: 2 },
    ],
    [
      'a film of no thickness',
      tableOf({ speed, thickness: [...thickness.slice(1), 0] }),
      {},
      { code: 'outsideDomain', row: 7, column: 'thickness' },
    ],
    [
      'one speed only',
      tableOf({ speed: speed.map(() => 3000), thickness }),
      {},
      { code: 'fewSpeeds', column: 'speed' },
    ],
    [
      'a column called offset',
      tableOf({ offset: speed, thickness }),
      { speed: 'offset' },
      { code: 'twiceNamed' },
    ],
  ]
  test.each(refusals)('%s', (_, table, options, problem) => {
    const answer = fitSpinCurve({ table, kind: 'offset', ...options })
    expect(!answer.ok && answer.problems[0]).toMatchObject(problem)
  })

  test('a prediction names what it lacks', () => {
    const answer = fitSpinCurve({ table: good, kind: 'power', by: 'lot' })
    const fit = answer.ok ? answer.value : undefined
    const lacking: Settings[] = [{ lot: 'a' }, { speed: 3000 }, { speed: 3000, lot: 'c' }]
    const codes = lacking.map((at) => fit?.cannotPredict([at]).map(({ code }) => code)[0])
    expect(codes).toEqual(['missingSetting', 'missingSetting', 'unknownLevel'])
    expect(fit?.predict([{ speed: 3000, lot: 'b' }])).toHaveLength(1)
  })
})
