import { cautions as all } from '../../process/cautions.ts'
import { list } from '../blocks.ts'
import type { Html } from '../html.ts'
import type { ReportData } from '../report-data.ts'

/** What can hurt at the bench, with the room's own rules. */
export function cautions({ study }: ReportData): (Html | null)[] {
  return [list([...all(), ...(study.roomRules === '' ? [] : [study.roomRules])])]
}
