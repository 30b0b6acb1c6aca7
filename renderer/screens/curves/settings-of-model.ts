import { computed } from 'vue'
import type { Settings } from '../../../shared/contract/things.ts'
import { useWorkingPoint } from '../../stores/working-point.ts'
import { useModel } from './model-store.ts'

/**
 * Settings of everything that a model may use: the working point of the factors, and of the other columns
 * (lot, session, an imported column) the first name or the mean of their numbers.
 */
export function useSettingsOfModel() {
  const point = useWorkingPoint()
  const model = useModel()
  return computed<Settings>(() => {
    const others: Settings = {}
    for (const column of model.table?.columns ?? []) {
      const values = (model.table?.rows ?? []).flatMap((row) => row.values[column.name] ?? [])
      const numbers = values.filter((value) => typeof value === 'number')
      const first = values[0]
      if (column.categorical && first !== undefined) others[column.name] = first
      else if (numbers.length > 0)
        others[column.name] = numbers.reduce((sum, value) => sum + value, 0) / numbers.length
    }
    return { ...others, ...point.at }
  })
}
