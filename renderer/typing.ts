/**
 * True where keys belong to a field that is being typed into. A field marked `data-untouched` shows what is kept:
 * it has nothing of its own to take back.
 */
export function isTyping(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement &&
    target.dataset.untouched === undefined &&
    target.matches('input:not([type="checkbox"]), textarea, [contenteditable]')
  )
}
