/**
 * True while a question or a form lies over the page: keys must not change what lies behind it, unseen. Lists and menus
 * that drop open are none.
 */
export const dialogIsOpen = (): boolean =>
  document.querySelector('[role="dialog"], [role="alertdialog"]') !== null

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
