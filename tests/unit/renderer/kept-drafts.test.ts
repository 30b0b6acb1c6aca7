import { expect, test } from 'vitest'
import { keepDrafts, keepUnit, keptDrafts, keptUnit } from '../../../renderer/screens/bench/kept-drafts.ts'

function textStore(start: Record<string, string> = {}) {
  const texts = new Map(Object.entries(start))
  return {
    getItem: (key: string) => texts.get(key) ?? null,
    setItem: (key: string, text: string) => void texts.set(key, text),
    removeItem: (key: string) => void texts.delete(key),
    key: (i: number) => [...texts.keys()][i] ?? null,
    get length() {
      return texts.size
    },
  }
}

test('drafts come back, and go once they are taken', () => {
  const store = textStore({ 'evenfilm.settings': '{}' })
  keepDrafts(store, { 'run 1': '15', 'run 2': '1502' }, {})
  expect(keptDrafts(store)).toEqual({ 'run 1': '15', 'run 2': '1502' })
  keepDrafts(store, { 'run 1': '150' }, { 'run 1': '15', 'run 2': '1502' })
  expect(keptDrafts(store)).toEqual({ 'run 1': '150' })
  expect(store.getItem('evenfilm.settings')).toBe('{}')
})

test('the drafts of another page are left alone', () => {
  const store = textStore()
  keepDrafts(store, { 'other 1': '9' }, {})
  keepDrafts(store, {}, { 'run 1': '15' })
  expect(keptDrafts(store)).toEqual({ 'other 1': '9' })
})

test('the unit of bare numbers is kept by study, and nonsense is none', () => {
  const store = textStore({ 'evenfilm.bareUnit B': 'furlong' })
  keepUnit(store, 'A', 'Å')
  expect([keptUnit(store, 'A'), keptUnit(store, 'B'), keptUnit(store, null)]).toEqual(['Å', null, null])
})
