import { defineStore } from 'pinia'
import { ref } from 'vue'
import type { Coater, Gauge, HotPlate } from '../../shared/contract/tools.ts'
import type { Args } from '../../shared/contract.ts'
import type { Answer } from '../../shared/problem.ts'
import { callEngine, onChanged } from '../client.ts'
import { useRoute } from './route.ts'

/** The coaters, hot plates and gauges that a person has entered; studies share them. */
export const useTools = defineStore('tools', () => {
  const route = useRoute()
  const coaters = ref<Coater[]>([])
  const hotPlates = ref<HotPlate[]>([])
  const gauges = ref<Gauge[]>([])

  async function load() {
    const answer = await callEngine('tools.list', {})
    if (!answer.ok) return
    coaters.value = answer.value.coaters
    hotPlates.value = answer.value.hotPlates
    gauges.value = answer.value.gauges
  }

  async function kept(answer: Answer<{ id: string }>): Promise<Answer<{ id: string }>> {
    if (answer.ok) await load()
    return answer
  }
  /** The study in hand, whose history takes the step. */
  const from = () => (route.studyId === null ? {} : { studyId: route.studyId })
  const saveCoater = async (coater: Args<'tools.saveCoater'>['coater']) =>
    kept(await callEngine('tools.saveCoater', { ...from(), coater }))
  const saveHotPlate = async (hotPlate: Args<'tools.saveHotPlate'>['hotPlate']) =>
    kept(await callEngine('tools.saveHotPlate', { ...from(), hotPlate }))
  const saveGauge = async (gauge: Args<'tools.saveGauge'>['gauge']) =>
    kept(await callEngine('tools.saveGauge', { ...from(), gauge }))

  void load()
  onChanged(() => void load())

  return { coaters, hotPlates, gauges, load, saveCoater, saveHotPlate, saveGauge }
})
