import { describe, expect, test } from 'vitest'
import { newFactor } from '../../../renderer/screens/plan/draft.ts'
import { middleOf, stepped } from '../../../renderer/stores/levels.ts'
import { parseHash, toHash } from '../../../renderer/stores/screens.ts'
import { nextToRedo, nextToUndo, type Step } from '../../../renderer/stores/steps.ts'

const step = (id: number, state: Step['state']): Step => ({ id, state, at: '', who: '', label: `step ${id}` })

describe('the place in the address', () => {
  test('comes back as it was written', () => {
    for (const place of [
      { screen: 'studies', studyId: null, runId: null },
      { screen: 'plan', studyId: 's1', runId: null },
      { screen: 'bench', studyId: 's1', runId: 'r9' },
    ] as const)
      expect(parseHash(`#${toHash(place)}`)).toEqual(place)
  })

  test('without a study, or with a screen that there is not, it is the list of studies', () => {
    expect(parseHash('').screen).toBe('studies')
    expect(parseHash('#plan').screen).toBe('studies')
    expect(parseHash('#kitchen/s1')).toEqual({ screen: 'studies', studyId: 's1', runId: null })
  })
})

describe('undo and redo', () => {
  test('undo takes the newest step that is done', () => {
    expect(nextToUndo([step(1, 'done'), step(3, 'undone'), step(2, 'done')])?.id).toBe(2)
    expect(nextToUndo([step(1, 'undone')])).toBe(null)
  })

  test('redo takes the oldest undone step after all that is done', () => {
    expect(nextToRedo([step(1, 'done'), step(2, 'undone'), step(3, 'undone')])?.id).toBe(2)
  })

  test('a step undone before something new was done cannot be redone', () => {
    expect(nextToRedo([step(1, 'done'), step(2, 'undone'), step(3, 'done')])).toBe(null)
  })
})

describe('the working point', () => {
  const speed = newFactor('speed', [])
  const lot = newFactor('lot', [], { lots: ['A', 'B', 'C'] })

  test('starts in the middle of the region, on the scale of the factor, where the tool can be set', () => {
    expect(middleOf(speed)).toBe(3000)
    expect(middleOf({ ...speed, scale: 'linear' })).toBe(3250)
    expect(middleOf({ ...speed, step: null })).toBe(3000)
    expect(middleOf(lot)).toBe('A')
  })

  test('moves by what the tool can be set to, else by a twentieth of the range', () => {
    expect(stepped(speed, 3000, -2)).toBe(2980)
    expect(stepped({ ...speed, step: null }, 3000, 1)).toBe(3125)
    expect(stepped(newFactor('other', []), 0.1, 4)).toBe(0.3)
  })

  test('goes through levels by name and stops at the ends', () => {
    expect(stepped(lot, 'A', 1)).toBe('B')
    expect(stepped(lot, 'C', 1)).toBe('C')
    expect(stepped(lot, 'A', -1)).toBe('A')
  })
})
