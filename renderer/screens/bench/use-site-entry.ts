import { nextTick, type Ref, ref } from 'vue'
import { useBench } from './bench-store.ts'
import type { EntryRow } from './entry-rows.ts'
import { draftKey, type Spot } from './spot.ts'

/** Typing readings site by site: what a field holds is taken when it is left, and Enter goes on to the next. */
export function useSiteEntry(options: {
  /** The run to which all that is typed here belongs. */
  runId: string
  rows: Ref<readonly EntryRow[]>
  focus: (site: number) => void
  /** Enter went beyond the last site. */
  done: () => void
}) {
  const { runId, rows, focus, done } = options
  const bench = useBench()
  const key = (spot: Spot) => draftKey(runId, spot)
  /** Sites whose text was sent off and refused, or left while it was no number. */
  const complaints = ref<Record<string, string>>({})

  function typed(row: EntryRow, text: string) {
    bench.drafts[key(row)] = text
    delete complaints.value[key(row)]
  }

  function cancel(row: EntryRow) {
    delete bench.drafts[key(row)]
    delete complaints.value[key(row)]
  }

  /** Takes what a field holds. What cannot be read stays in the field with the reason, and the cursor with it. */
  async function take(row: EntryRow, goOn: boolean) {
    const place = key(row)
    if (row.problem) {
      complaints.value[place] = row.problem
      return
    }
    if (!row.changes) delete bench.drafts[place]
    const index = rows.value.findIndex(({ site }) => site === row.site)
    if (goOn) await step(index, 1)
    if (!row.changes || row.site === null) return
    const problems = await bench.enter(runId, [{ site: row.site, repeat: row.repeat, text: row.text.trim() }])
    if (problems.length > 0) complaints.value[place] = problems.map((problem) => problem.message).join(' ')
  }

  async function step(from: number, by: number) {
    const next = rows.value[from + by]
    await nextTick()
    if (next?.site) focus(next.site)
    else if (by > 0) done()
  }

  /** Takes keys that were pressed before the fields were there, as if they had been pressed from the first unread site on. */
  async function typeAhead(keys: string) {
    const [first = '', ...rest] = keys.split('\n')
    const row = rows.value.find(({ reading, changes }) => reading === null && !changes)
    if (!row) return
    typed(row, row.text + first)
    if (rest.length === 0) return
    const now = rows.value.find(({ site }) => site === row.site)
    if (now) void take(now, true)
    await nextTick()
    await typeAhead(rest.join('\n'))
  }

  return { key, complaints, typed, cancel, take, step, typeAhead }
}
