import { escaped } from '../escaped.ts'

/** A piece of a document that is markup already; made by {@link html} and {@link markup} alone. */
export type Html = { readonly markup: string }

type Filling = string | number | Html | readonly Html[] | null

/** Markup with its fillings: texts and numbers are escaped, markup stays, null leaves nothing. */
export function html(parts: TemplateStringsArray, ...fillings: Filling[]): Html {
  const filled = parts.map((part, i) => part + (i < fillings.length ? markupOf(fillings[i] as Filling) : ''))
  return { markup: filled.join('') }
}

/** Markup that a drawing has written. */
export const markup = (text: string): Html => ({ markup: text })

function markupOf(filling: Filling): string {
  if (filling === null) return ''
  if (typeof filling === 'string') return escaped(filling)
  if (typeof filling === 'number') return String(filling)
  return 'markup' in filling ? filling.markup : filling.map((each) => each.markup).join('')
}
