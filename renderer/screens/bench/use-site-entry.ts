import { nextTick, type Ref, ref } from 'vue'
import { useBench } from './bench-store.ts'
import type { EntryRow } from './entry-rows.ts'

/** Typing readings site by site: what a field holds is taken when it is left, and Enter goes on to the next. */
export function useSiteEntry(options: {
  rows: Ref<readonly EntryRow[]>
  focus: (site: number) => void
  /** Enter went beyond the last site. */
  done: () => void
}) {
  const { rows, focus, done } = options
  const bench = useBench()
  /** Sites whose text was sent off and refused, or left while it was no number. */
  const complaints = ref<Record<string, string>>({})

  function typed(row: EntryRow, text: string) {
    bench.drafts[bench.key(row)] = text
    delete complaints.value[bench.key(row)]
  }

  function cancel(row: EntryRow) {
    delete bench.drafts[bench.key(row)]
    delete complaints.value[bench.key(row)]
  }

  /** Takes what a field holds. What cannot be read stays in the field with the reason, and the cursor with it. */
  async function take(row: EntryRow, goOn: boolean) {
    const place = bench.key(row)
    if (row.problem) {
      complaints.value[place] = row.problem
      return
    }
    if (!row.changes) delete bench.drafts[place]
    const index = rows.value.findIndex(({ site }) => site === row.site)
    if (goOn) await step(index, 1)
    if (!row.changes || row.site === null) return
    const problems = await bench.enter([{ site: row.site, repeat: row.repeat, text: row.text.trim() }])
    if (problems.length > 0) complaints.value[place] = problems.map((problem) => problem.message).join(' ')
  }

  async function step(from: number, by: number) {
    const next = rows.value[from + by]
    await nextTick()
    if (next?.site) focus(next.site)
    else if (by > 0) done()
  }

  return { complaints, typed, cancel, take, step }
}
