import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { recipeAnswer } from '../../../shared/contract/results/recipe.ts'
import type { Factor } from '../../../shared/contract/things.ts'
import { fitShape } from '../../../shared/film/shape.ts'
import { studySites } from '../../../shared/film/site-map.ts'
import { fitOverDays } from '../../../shared/model/over-days.ts'
import type { Table } from '../../../shared/model/table.ts'
import { evennessOf } from '../../../shared/next/evenness.ts'
import { type Predictor, predictorOf } from '../../../shared/next/predictor.ts'
import { chanceBelow, chanceInWords } from '../../../shared/next/reason.ts'
import { findRecipe, type RecipeOptions } from '../../../shared/next/recipe.ts'
import { fitShapes, shapeTerms } from '../../../shared/next/shape-models.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'

/** The invented demo study as a fit sees it. */
const { study, factors, stages } = demoScenario(7)
const runs = stages[0]?.runs ?? []
const shapes = runs.map(
  ({ readings }) =>
    fitShape(
      readings.map(({ xMm, yMm, valueNm }) => ({ x: xMm, y: yMm, value: valueNm })),
      50,
    ).shape,
)
const table: Table = {
  rows: runs.length,
  columns: [
    ...(['speed', 'time', 'bake'] as const).map((name) => ({
      name,
      values: runs.map(({ settings }) => settings[name]),
    })),
    { name: 'plateVisit', values: runs.map(({ plateVisit }) => String(plateVisit)) },
    {
      name: 'thickness',
      values: runs.map(
        ({ readings }) => readings.reduce((sum, { valueNm }) => sum + valueNm, 0) / readings.length,
      ),
    },
    ...shapeTerms.map((name) => ({ name, values: shapes.map((shape) => shape[name]) })),
  ],
}
const model = 'log(thickness) ~ (log(speed) + time + bake)^2 + log(speed)^2 + time^2 + bake^2'
const fitted = fitOverDays({ table, model, thickness: true })
const shapeModels = fitShapes({ table, model })
if (!fitted.ok || !shapeModels.ok) throw new Error('The demo study cannot be fitted.')
const predictors = Object.fromEntries(
  Object.entries(shapeModels.value).flatMap(([name, shape]) => {
    const predictor = predictorOf(shape)
    return predictor.ok ? [[name, predictor.value]] : []
  }),
) as Record<string, Predictor>
const evenness = evennessOf({
  predictors,
  rest: 0.0015,
  sites: studySites(study),
  radiusMm: 50,
  formula: 'halfRangeOverMean',
  limit: 1,
  draws: 200,
})
/** Fewer settings than the demo has, so that every one can be tried. */
const region: Factor[] = factors.map((factor) => ({
  ...factor,
  step: { speed: 50, time: 5, bake: 5 }[factor.name] ?? factor.step,
}))
const options: RecipeOptions = {
  model: fitted.value,
  region,
  target: 1500,
  tolerance: 30,
  asked: 0.75,
  evenness,
  tested: runs.map(({ settings }) => settings),
  costOf: ({ bake }) => ({
    minutes: 10 + Math.abs(Number(bake) - 100),
    resistMl: 3.5,
    plateChange: bake !== 100,
  }),
}
function found(more: Partial<RecipeOptions> = {}) {
  const answer = findRecipe({ ...options, ...more })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return recipeAnswer.strict().parse(answer.value)
}

describe('a recipe for a target', () => {
  test('its chance is practically the best of all settings, and no flatter one is as likely', () => {
    const { recipe, met, settings } = found()
    expect(met).toBe(true)
    expect(settings.meet).toBeGreaterThan(0)
    expect(recipe.chance.both).toBeCloseTo(recipe.chance.thickness * (recipe.chance.evenness ?? 1), 12)
    // Thinner and thicker ones have no chance.
    const speeds = [2800, 2900, 3000, 3100, 3200, 3300, 3400, 3500, 3600, 3700]
    const all = speeds.flatMap((speed) =>
      [20, 30, 40, 50, 60].flatMap((time) => [90, 95, 100, 105, 110].map((bake) => ({ speed, time, bake }))),
    )
    const best = all.reduce((most, at) => {
      const answer = findRecipe({ ...options, region: held(at) })
      return answer.ok ? Math.max(most, answer.value.recipe.chance.both) : most
    }, 0)
    expect(recipe.chance.both).toBeGreaterThanOrEqual(best - 0.0101)
  })

  test('each factor alone may move as far as the chance lasts, and no setting farther', () => {
    const { recipe, moves } = found()
    expect(moves.map(({ factor }) => factor)).toEqual(['speed', 'time', 'bake'])
    const chanceAt = (factor: string, value: number) => {
      const answer = findRecipe({ ...options, region: held({ ...recipe.settings, [factor]: value }) })
      return answer.ok ? answer.value.recipe.chance.both : 0
    }
    const steps = { speed: 50, time: 5, bake: 5 } as Record<string, number>
    for (const { factor, lower, upper } of moves)
      for (const [end, step] of [
        [lower, -(steps[factor] ?? 1)],
        [upper, steps[factor] ?? 1],
      ] as const) {
        if (end === null) continue
        expect(chanceAt(factor, end)).toBeGreaterThanOrEqual(0.75)
        expect(chanceAt(factor, end + step)).toBeLessThan(0.75)
      }
  })

  test('a chance that no setting has is said, with the best there is', () => {
    const answer = found({ asked: 0.999 })
    expect(answer).toMatchObject({ met: false, moves: [], settings: { meet: 0 } })
    expect(answer.problems.map(({ code }) => code)).toEqual(['chanceNotReached'])
    expect(answer.recipe.chance.both).toBeGreaterThan(0.5)
  })

  test('every setting bears one step of its tool where some such setting has the asked chance', () => {
    const { recipe, edge } = found()
    const steps = { speed: 50, time: 5, bake: 5 } as Record<string, number>
    const lost = Object.keys(steps).filter((factor) =>
      [-1, 1].some((way) => {
        const value = (recipe.settings[factor] as number) + way * (steps[factor] as number)
        const { low, high } = region.find(({ name }) => name === factor) as { low: number; high: number }
        const answer = findRecipe({ ...options, region: held({ ...recipe.settings, [factor]: value }) })
        return value < low || value > high || !answer.ok || answer.value.recipe.chance.both < 0.75
      }),
    )
    expect(edge).toEqual(lost)
    expect(recipe.reason).toContain(edge.length === 0 ? 'bears one step' : edge.join(' and '))
  })

  test('asked for just less than the best there is, the recipe has it, at the edge', () => {
    const best = findRecipe({ ...options, asked: 0.999 })
    if (!best.ok) throw new Error('The demo has a recipe.')
    const asked = best.value.recipe.chance.both
    const { met, recipe, edge } = found({ asked })
    expect(met).toBe(true)
    expect(recipe.chance.both).toBeGreaterThanOrEqual(asked)
    expect(edge.length).toBeGreaterThan(0)
    expect(recipe.reason).toContain('at the edge')
  })

  test('a chance that is missed by little is told apart from the asked one', () => {
    expect(chanceBelow(0.8961, 0.9)).toBe('89.6 %')
    expect(chanceBelow(0.8999999, 0.9)).toBe('hardly less')
    expect(chanceBelow(0.7, 0.9)).toBe('70 %')
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (a, b) => {
          fc.pre(a < b)
          expect(chanceBelow(a, b)).not.toBe(chanceInWords(b))
        },
      ),
    )
  })

  test('without a limit on evenness only the thickness counts', () => {
    const { recipe } = found({ evenness: null })
    expect(recipe).toMatchObject({ evenness: null, chance: { evenness: null } })
    expect(recipe.chance.both).toBe(recipe.chance.thickness)
  })
})

/** A region of one setting. */
function held(at: Record<string, number | string>): Factor[] {
  return region.map((factor) => ({
    ...factor,
    low: at[factor.name] as number,
    high: at[factor.name] as number,
  }))
}
