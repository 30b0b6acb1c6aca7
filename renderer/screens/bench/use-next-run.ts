import { nextTick, onScopeDispose, watch } from 'vue'
import { useBench } from './bench-store.ts'

/**
 * The way from the last site of a run to the first of the next. Enter on the button of the next run goes on to its first
 * unread site; whoever only looks through the runs keeps the button. Keys that are pressed before the next run is drawn
 * wait for its field: a number that lost its first digits on the way would look like a reading.
 *
 * @param goOn takes the cursor to the first unread site, with the keys that were pressed meanwhile
 */
export function useNextRun(goOn: (keys: string) => void) {
  const bench = useBench()
  const button = () => document.querySelector<HTMLButtonElement>('.next-run')
  let offered = false
  let waiting = ''

  /** After the last site: the next run is offered by its button, which then has the cursor. */
  function offer() {
    button()?.focus()
    offered = true
  }

  function keep(event: KeyboardEvent) {
    if (!bench.changing || !offered || event.ctrlKey || event.metaKey || event.altKey) return
    if (event.repeat) return event.preventDefault()
    if (event.key === 'Enter') waiting += '\n'
    else if (event.key === 'Backspace') waiting = waiting.slice(0, -1)
    else if (event.key.length === 1) waiting += event.key
    else return
    // Neither pressed on the button nor a key of the page.
    event.preventDefault()
    event.stopPropagation()
  }
  window.addEventListener('keydown', keep, { capture: true })
  onScopeDispose(() => window.removeEventListener('keydown', keep, { capture: true }))

  // What has the cursor belongs to the run that is drawn, and is left while that is still so.
  watch(
    () => bench.changing,
    (changing) => {
      const at = document.activeElement
      if (changing && at instanceof HTMLElement && at.matches('input, textarea, [role="grid"]')) at.blur()
    },
    { flush: 'sync' },
  )
  // Asked before the run is drawn: after the last run there is no next one, and a disabled button loses the focus.
  watch(
    () => bench.card?.run.id,
    async (_, before) => {
      const goesOn = offered && document.activeElement === button()
      const keys = waiting
      offered = false
      waiting = ''
      if (before === undefined || !goesOn) return
      await nextTick()
      goOn(keys)
    },
  )
  return { offer }
}
