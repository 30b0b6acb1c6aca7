import { type Html, html } from './html.ts'

/** `words` is a column of sentences, which needs room. */
export type Column = { label: string; number?: boolean; words?: boolean }
export type Cell = string | Html

/** A table is as wide as its words ask for; one so long that it would push the others out may be broken anywhere. */
const hasLongWord = (text: string) => /\S{20}/.test(text)

/** Facts by name; empty ones are shown as not stated. */
export function facts(entries: readonly (readonly [name: string, value: string])[]): Html {
  return html`<dl>${entries.map(
    ([name, value]) =>
      html`<div><dt>${name}</dt><dd${value === '' ? html` class="soft"` : null}>${value || 'not stated'}</dd></div>`,
  )}</dl>`
}

/** A table whose header stands on every page; null where there is no row. */
export function table(
  caption: string,
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
): Html | null {
  if (rows.length === 0) return null
  const side = (i: number, text: Cell) => {
    const { number, words } = columns[i] as Column
    const kinds = [
      number ? 'number' : words ? 'words' : '',
      typeof text === 'string' && hasLongWord(text) ? 'long' : '',
    ]
    const names = kinds.filter(Boolean).join(' ')
    return names === '' ? null : html` class="${names}"`
  }
  return html`<table><caption>${caption}</caption><thead><tr>${columns.map(
    ({ label }, i) => html`<th scope="col"${side(i, label)}>${label}</th>`,
  )}</tr></thead><tbody>${rows.map(
    (row) => html`<tr>${row.map((cell, i) => html`<td${side(i, cell)}>${cell}</td>`)}</tr>`,
  )}</tbody></table>`
}

/** Sentences as a list; null where there is none. */
export function list(sentences: readonly string[]): Html | null {
  return sentences.length === 0 ? null : html`<ul>${sentences.map((words) => html`<li>${words}</li>`)}</ul>`
}

export const paragraph = (words: string): Html => html`<p>${words}</p>`
export const soft = (words: string): Html => html`<p class="soft">${words}</p>`
export const warning = (words: string): Html => html`<p class="warning">${words}</p>`

/** What says that a part was written when the data were other ones. */
export const stale = (words: string): Html =>
  html`<p class="stale"><strong>Out of date.</strong> ${words}</p>`
