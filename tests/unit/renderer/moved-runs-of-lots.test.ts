import { beforeEach, expect, test, vi } from 'vitest'
import { nextTick, ref, shallowRef } from 'vue'
import type { movedRuns } from '../../../renderer/screens/curves/moved-runs.ts'
import { useMovedRuns } from '../../../renderer/screens/lots/use-moved-runs.ts'

type Asked = Parameters<typeof movedRuns>[0]
const asked = vi.hoisted(() => ({
  all: [] as { options: Asked; answer: (moved: Map<string, number>) => void }[],
}))
const model = { fitted: {} as object | null, kindQuestion: { studyId: 's' } }
const runs = ref([{ runId: 'r1' }])
const scale = ref<object | null>({ kind: 'log' })

vi.mock('../../../renderer/screens/curves/use-fit-view.ts', () => ({
  useFitView: () => ({ model, runs, scale }),
}))
vi.mock('../../../renderer/screens/curves/moved-runs.ts', () => ({
  movedRuns: (options: Asked) =>
    new Promise<Map<string, number>>((answer) => {
      asked.all.push({ options, answer })
    }),
}))

type Compared = Parameters<typeof useMovedRuns>[0]['value']
const comparison = (speed: number) =>
  ({ curves: [{ factor: 'speed' }], at: { speed, time: 40, lot: 'A' } }) as unknown as Compared

/** Lets the watchers and the promises that they wait for run. */
async function settle() {
  await nextTick()
  await new Promise((done) => setTimeout(done))
}

beforeEach(() => {
  asked.all.length = 0
  model.fitted = {}
})

test('runs are moved along the factor that is drawn, each in its own lot', async () => {
  const compared = shallowRef<Compared>(null)
  const moved = useMovedRuns(compared)
  compared.value = comparison(3000)
  await settle()
  expect(asked.all).toHaveLength(1)
  expect(asked.all[0]?.options).toMatchObject({
    factor: 'speed',
    at: { speed: 3000, time: 40 },
    runs: [{ runId: 'r1' }],
  })
  expect(asked.all[0]?.options.at).not.toHaveProperty('lot')
  asked.all[0]?.answer(new Map([['r1', 1500]]))
  await settle()
  expect([...moved.value]).toEqual([['r1', 1500]])
})

test('an answer to an older question changes nothing', async () => {
  const compared = shallowRef<Compared>(null)
  const moved = useMovedRuns(compared)
  compared.value = comparison(3000)
  await settle()
  compared.value = comparison(3100)
  await settle()
  asked.all[1]?.answer(new Map([['r1', 1480]]))
  await settle()
  asked.all[0]?.answer(new Map([['r1', 1500]]))
  await settle()
  expect([...moved.value]).toEqual([['r1', 1480]])
})

test('there are none without a comparison or a fit, not even from an answer that comes late', async () => {
  const compared = shallowRef<Compared>(null)
  const moved = useMovedRuns(compared)
  compared.value = comparison(3000)
  await settle()
  compared.value = null
  await settle()
  asked.all[0]?.answer(new Map([['r1', 1500]]))
  await settle()
  expect(moved.value.size).toBe(0)
  model.fitted = null
  compared.value = comparison(3000)
  await settle()
  expect(asked.all).toHaveLength(1)
})
