import { computed, ref, shallowRef } from 'vue'
import type { Args, Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import { callEngine } from '../../client.ts'
import type { TextFile } from '../../file-text.ts'
import { useRoute } from '../../stores/route.ts'
import { useProgress } from '../../use-progress.ts'
import { words } from './words/import.ts'

export type Preview = Result<'imports.preview'>
/** What a person has settled about files; the rest is guessed. */
export type Settled = Pick<Args<'imports.preview'>, 'decimal' | 'columns' | 'options'>

/** Files on their way in: what they are taken for, what is settled about them, and bringing them in. */
export function useImport() {
  const route = useRoute()
  const files = shallowRef<TextFile[]>([])
  const preview = shallowRef<Preview | null>(null)
  const problems = ref<Problem[]>([])
  const busy = ref(false)
  const settled = shallowRef<Settled>({})
  const { progress, cancel, over } = useProgress('imports.preview', 'imports.commit')

  const source = (studyId: string): Args<'imports.preview'> => {
    const [first, ...more] = files.value as [TextFile, ...TextFile[]]
    return { studyId, ...first, ...(more.length > 0 ? { more } : {}), ...settled.value }
  }

  async function look() {
    if (files.value.length === 0 || route.studyId === null) return
    busy.value = true
    const answer = await callEngine('imports.preview', source(route.studyId))
    // A newer look has taken the place of this one.
    if (!answer.ok && answer.problems[0]?.code === 'superseded') return
    busy.value = false
    over()
    problems.value = answer.ok ? [] : answer.problems
    if (answer.ok) preview.value = answer.value
  }

  return {
    files,
    preview,
    problems,
    busy,
    progress,
    cancel,
    look,
    ready: computed(() => preview.value !== null && preview.value.problems.length === 0 && !busy.value),
    /** What will come in: runs are named as new only where they are. */
    contents: computed(() => (preview.value ? contentsOf(preview.value) : '')),
    async open(chosen: TextFile[]) {
      files.value = chosen
      settled.value = {}
      preview.value = null
      await look()
    },
    async change(to: Settled) {
      settled.value = { ...settled.value, ...to, options: { ...settled.value.options, ...to.options } }
      await look()
    },
    leave() {
      files.value = []
      preview.value = null
      problems.value = []
    },
    /** Brings everything in; whether it did. */
    async bringIn(): Promise<boolean> {
      if (route.studyId === null || !preview.value) return false
      busy.value = true
      const answer = await callEngine('imports.commit', {
        ...source(route.studyId),
        decimal: preview.value.decimal,
        columns: preview.value.columns,
        options: preview.value.options,
      })
      busy.value = false
      over()
      if (answer.ok) return true
      problems.value = [...answer.problems, { code: 'nothingImported', message: words.contents.nothing }]
      return false
    },
  }
}

function contentsOf({ runs, newRuns, readings }: Preview): string {
  const known = runs - newRuns
  const parts = [
    ...(newRuns > 0 ? [words.contents.newRuns(newRuns)] : []),
    ...(readings > 0 ? [words.contents.readings(readings, known > 0 ? runs : null)] : []),
  ]
  return words.contents.both(parts) || words.contents.runs(runs)
}
