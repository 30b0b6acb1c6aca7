import { describe, expect, test } from 'vitest'
import { nextTick, shallowRef } from 'vue'
import { useDraft } from '../../../renderer/screens/bench/use-draft.ts'

describe('a draft of what is kept', () => {
  test('stays as typed when the same is read again, and differs until it is kept', async () => {
    const kept = shallowRef({ day: '', bottle: { name: 'B1' } })
    const { draft, differs } = useDraft(() => kept.value)
    draft.value.bottle.name = 'B2'
    kept.value = { day: '', bottle: { name: 'B1' } }
    await nextTick()
    expect(draft.value.bottle.name).toBe('B2')
    expect(differs.value).toBe(true)
    kept.value = { day: '', bottle: { name: 'B2' } }
    await nextTick()
    expect(differs.value).toBe(false)
  })

  test('is taken anew where what is kept changes, or belongs to another owner', async () => {
    const kept = shallowRef<{ day: string } | null>({ day: '' })
    const owner = shallowRef('W01')
    const { draft } = useDraft(
      () => kept.value,
      () => owner.value,
    )
    draft.value = { day: '2026-03-02' }
    owner.value = 'W02'
    await nextTick()
    expect(draft.value).toEqual({ day: '' })
    kept.value = null
    await nextTick()
    expect(draft.value).toBeNull()
  })
})
