import type { Problem } from '../../shared/problem.ts'
import { words } from './words.ts'

/**
 * The problem of the first entry of a form whose text is not taken, such as letters in a number; the cursor is put there.
 * Such a field keeps its last good value, so the form must not be sent as if that had been meant.
 */
export function goToWrongEntry(form: HTMLFormElement | null): Problem[] {
  const wrong = form?.querySelector<HTMLInputElement>('input[aria-invalid="true"]')
  if (!wrong) return []
  wrong.focus()
  return [{ code: 'field', message: words.notTaken(wrong.labels?.[0]?.textContent?.trim() ?? '') }]
}
