import { computed, onScopeDispose, shallowRef, watch } from 'vue'
import type { Result } from '../../../shared/contract.ts'
import { filmOn } from '../../../shared/process/substrate-history.ts'
import { callEngine, onChanged } from '../../client.ts'
import type { RunCard } from './bench-store.ts'
import { words } from './words/coat.ts'

type Run = RunCard['run']
export type SubstrateHistory = NonNullable<Result<'substrates.history'>>

/** What happened to the substrate of a run over all studies. */
export function useSubstrate(run: () => Run) {
  const history = shallowRef<SubstrateHistory | null>(null)

  async function load() {
    const code = run().substrate
    const answer = code === null ? null : await callEngine('substrates.history', { code })
    if (run().substrate === code) history.value = answer?.ok ? answer.value : null
  }
  watch(() => run().substrate, load, { immediate: true })
  onScopeDispose(onChanged(() => void load()))

  return {
    history,
    coats: computed(() => substrateWords(run(), history.value)),
    question: computed(() => coatedOver(run(), history.value)),
  }
}

/** How often a substrate was coated, and by which runs. */
export function substrateWords(
  { substrate }: Pick<Run, 'substrate'>,
  history: SubstrateHistory | null,
): string {
  if (substrate === null) return words.coats.unmarked
  const coats = history?.entries.filter(({ what }) => what === 'coat') ?? []
  if (coats.length === 0) return words.coats.none
  const codes = coats.map((coat) => ('code' in coat ? coat.code : '')).join(', ')
  return words.coats.count(coats.length, codes)
}

/** Asks where a run was laid, or is about to be laid, over a film that nobody noted as stripped; null elsewhere. */
function coatedOver(run: Pick<Run, 'id' | 'state'>, history: SubstrateHistory | null): string | null {
  if (!history) return null
  const own = history.entries.find((entry) => entry.what === 'coat' && entry.runId === run.id)
  const over = own?.what === 'coat' ? own.over : run.state === 'planned' ? filmOn(history.entries) : null
  if (over === null) return null
  return words.coats.over(run.state === 'planned', over)
}
