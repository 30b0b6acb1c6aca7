/** True where keys belong to a field that is being typed into. */
export function isTyping(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement &&
    target.matches('input:not([type="checkbox"]), textarea, [contenteditable]')
  )
}
