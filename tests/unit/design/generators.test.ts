import { expect, test } from 'vitest'
import { definingWords, generatorText, parseGenerators } from '../../../shared/design/generators.ts'

const names = ['speed', 'time', 'bake', 'ramp', 'dose of resist']

test('generators are read by the names of factors, with sign and quotes', () => {
  const answer = parseGenerators('ramp = speed.time ; "dose of resist" = -speed:bake', names)
  expect(answer).toEqual({
    ok: true,
    value: [
      { factor: 3, product: [0, 1], sign: 1 },
      { factor: 4, product: [0, 2], sign: -1 },
    ],
  })
  if (answer.ok)
    expect(answer.value.map((generator) => generatorText(generator, names))).toEqual([
      'ramp = speed.time',
      '"dose of resist" = −speed.bake',
    ])
})

test('words multiply: two generators give three, with the product of their signs', () => {
  const words = definingWords([
    { factor: 3, product: [0, 1], sign: 1 },
    { factor: 4, product: [0, 2], sign: -1 },
  ])
  expect(words).toEqual([
    { factors: [0, 1, 3], sign: 1 },
    { factors: [0, 2, 4], sign: -1 },
    { factors: [1, 2, 3, 4], sign: -1 },
  ])
})

test.each([
  ['ramp', 'no generator'],
  ['ramp = speed', 'at least two others'],
  ['ramp = speed.warmth', '‘warmth’'],
  ['ramp = speed.ramp', 'twice'],
  ['ramp = speed.time, ramp = speed.bake', 'two generators'],
  ['ramp = speed.time, bake = ramp.time', 'generated itself'],
])('‘%s’ is refused', (text, part) => {
  const answer = parseGenerators(text, names)
  expect(answer.ok).toBe(false)
  if (!answer.ok) {
    expect(answer.problems[0]).toMatchObject({ code: 'generator', column: 'fraction' })
    expect(answer.problems[0]?.message).toContain(part)
  }
})
