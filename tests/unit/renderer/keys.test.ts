import { describe, expect, test } from 'vitest'
import { keyGroups, screenOfKey } from '../../../renderer/keys.ts'
import { screens } from '../../../renderer/stores/screens.ts'

const press = (code: string, held = { altKey: true, shiftKey: true }) => screenOfKey({ code, ...held })

describe('the keys of the page', () => {
  test('Alt Shift and a digit lead to the screens in their order, by the key and not by what it types', () => {
    expect(screens.map((_, at) => press(`Digit${at + 1}`))).toEqual([...screens])
    expect(press('Numpad2')).toBe('plan')
    expect(press(`Digit${screens.length + 1}`)).toBeNull()
    expect(screens.length, 'a digit for each screen').toBeLessThanOrEqual(9)
    expect(press('KeyA')).toBeNull()
    expect(press('Digit1', { altKey: true, shiftKey: false })).toBeNull()
    expect(press('Digit1', { altKey: false, shiftKey: true })).toBeNull()
  })

  test('no key stands twice in one list', () => {
    for (const { lines } of keyGroups)
      expect(new Set(lines.map(({ press }) => press)).size).toBe(lines.length)
  })
})
