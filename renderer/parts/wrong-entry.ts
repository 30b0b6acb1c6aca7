/**
 * The first entry of a form whose text is not taken, such as letters in a number: the cursor is put there. Such a field
 * keeps its last good value, so the form must not be sent as if that had been meant.
 *
 * @returns the name of the field; null where every entry is taken
 */
export function goToWrongEntry(form: HTMLFormElement): string | null {
  const wrong = form.querySelector<HTMLInputElement>('input[aria-invalid="true"]')
  if (!wrong) return null
  wrong.focus()
  return wrong.labels?.[0]?.textContent?.trim() ?? ''
}
