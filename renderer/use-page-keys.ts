import { onBeforeUnmount, onMounted } from 'vue'
import { screenOfKey } from './keys.ts'
import { useHistory } from './stores/history.ts'
import { useRoute } from './stores/route.ts'
import { dialogIsOpen, isTyping } from './typing.ts'

/** Keys that work all over the page. Inside a field they stay the field's own, and in a dialog too. */
export function usePageKeys(open: { finder: () => void; keyList: () => void; history: () => void }) {
  const history = useHistory()
  const route = useRoute()

  function actionOf(event: KeyboardEvent): (() => void) | null {
    const screen = screenOfKey(event)
    if (screen !== null)
      return screen === 'studies' || route.studyId !== null ? () => route.go(screen) : () => {}
    if (event.altKey) return null
    const key = event.key.toLowerCase()
    if (event.ctrlKey || event.metaKey) {
      if (key === 'z' && !event.shiftKey) return () => void history.undo()
      return key === 'y' || (key === 'z' && event.shiftKey) ? () => void history.redo() : null
    }
    return { '/': open.finder, '?': open.keyList, h: open.history }[key] ?? null
  }

  function onKey(event: KeyboardEvent) {
    if (event.defaultPrevented || isTyping(event.target) || dialogIsOpen()) return
    const action = actionOf(event)
    if (action === null) return
    event.preventDefault()
    action()
  }
  onMounted(() => window.addEventListener('keydown', onKey))
  onBeforeUnmount(() => window.removeEventListener('keydown', onKey))
}
