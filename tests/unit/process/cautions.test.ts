import { expect, test } from 'vitest'
import { cautions } from '../../../shared/process/cautions.ts'

const text = cautions().join(' ')

test('the cautions name every hazard of the bench and defer to the room first', () => {
  expect(cautions()[0]).toMatch(/room's rules.*trained staff.*safety data sheet/)
  for (const hazard of [/vapour/, /vacuum/, /lid/, /plate surface burns/, /bowl/])
    expect(text).toMatch(hazard)
})

test('they set no protective gear, no way of disposal and no limit of their own', () => {
  expect(text).not.toMatch(/glove|goggle|glasses|apron|respirator|waste|dispos|drain|bin\b/i)
  expect(text).not.toMatch(/\d/)
  expect(text).not.toMatch(/\bsafe\b/i)
})
