import { computed, onScopeDispose, ref, shallowRef, watch } from 'vue'
import type { Args, Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import { callEngine, onChanged } from '../../client.ts'
import type { TextFile } from '../../file-text.ts'
import { useNotices } from '../../stores/notices.ts'
import { words } from './words/traces.ts'

export type Scan = Result<'traces.list'>['scans'][number]
export type TracedSite = Result<'traces.list'>['sites'][number]
export type TracePoints = Result<'traces.points'>
export type TracePreview = Result<'traces.preview'>[number]
export type TraceSettled = Omit<Args<'traces.preview'>, 'files'>
export type ScanChoice = Args<'traces.evaluate'>['choice']

/** The scans of one run: the list, the one in hand with its points, and what can be done with them. */
export function useTraces(runId: string) {
  const notices = useNotices()
  const list = shallowRef<Result<'traces.list'>>({ scans: [], sites: [] })
  const problems = ref<Problem[]>([])
  const notes = ref<string[]>([])
  const busy = ref(false)
  const chosenId = ref<string | null>(null)
  const points = shallowRef<{ id: string; points: TracePoints } | null>(null)
  const scan = computed(
    () => list.value.scans.find(({ id }) => id === chosenId.value) ?? list.value.scans[0] ?? null,
  )
  const site = computed(() => list.value.sites.find((one) => one.site === scan.value?.site) ?? null)

  async function load() {
    const answer = await callEngine('traces.list', { runId })
    if (answer.ok) list.value = answer.value
    else problems.value = answer.problems
  }
  void load()
  onScopeDispose(onChanged(() => void load()))

  watch(
    () => scan.value?.id,
    async (id) => {
      if (id === undefined) return
      const answer = await callEngine('traces.points', { traceId: id })
      if (answer.ok && scan.value?.id === id) points.value = { id, points: answer.value }
    },
  )

  /** Files that do not say all by themselves, on their way in, with what is settled about them. */
  const waiting = shallowRef<{ files: TextFile[]; previews: TracePreview[] } | null>(null)
  const settled = shallowRef<TraceSettled>({})

  /** Brings files in at once where they say all of it; else shows what they are taken for. */
  async function open(files: TextFile[], site: number | null) {
    settled.value = {}
    waiting.value = null
    if (await look(files)) await bringIn(files, site)
  }

  /** Reads files with what is settled; whether nothing is left to be asked. */
  async function look(files: TextFile[]): Promise<boolean> {
    busy.value = true
    const answer = await callEngine('traces.preview', { files, ...settled.value })
    if (!answer.ok && answer.problems[0]?.code === 'superseded') return false
    busy.value = false
    problems.value = answer.ok ? [] : answer.problems
    if (!answer.ok) return false
    if (Object.keys(settled.value).length === 0 && answer.value.every(saysAll)) return true
    waiting.value = { files, previews: answer.value }
    return false
  }

  async function settle(to: TraceSettled) {
    settled.value = to
    if (waiting.value) await look(waiting.value.files)
  }

  async function bringIn(files: TextFile[], site: number | null) {
    busy.value = true
    const answer = await callEngine('traces.import', { runId, site, files, ...settled.value })
    busy.value = false
    problems.value = answer.ok ? [] : answer.problems
    if (!answer.ok) return
    waiting.value = null
    notes.value = answer.value.notes
    await load()
    chosenId.value = answer.value.traceIds[0] ?? null
    notices.say(words.tracesTab.imported(files.map(({ fileName }) => fileName)), {
      undo: true,
    })
  }

  function leave() {
    waiting.value = null
    problems.value = []
  }

  /** Asks for a change; what stands in the way is told at the foot of the page. */
  async function change<N extends 'traces.evaluate' | 'traces.leaveOut' | 'traces.keep'>(
    name: N,
    args: Args<N>,
    said: string,
  ) {
    const answer = await callEngine(name, args)
    if (answer.ok) notices.say(said, { undo: true })
    else notices.complain(answer.problems)
    await load()
    return answer.ok
  }

  return {
    list,
    problems,
    notes,
    busy,
    chosenId,
    scan,
    site,
    points,
    waiting,
    settled,
    open,
    settle,
    bringIn,
    leave,
    change,
  }
}

/** Whether a file was read and named its units. */
const saysAll = ({ problems, notes }: TracePreview) =>
  problems.length === 0 && notes.every(({ code }) => code !== 'unitAssumed')
