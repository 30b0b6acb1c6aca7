import { decimalsFor, fixed, pValue, type Shown, significant } from '../charts/format.ts'
import type { Study } from '../contract/things.ts'
import { scaleOf } from '../model/fit-words.ts'
import { termWords } from '../model/term-words.ts'
import { table } from './blocks.ts'
import type { Html } from './html.ts'
import type { ReportFit } from './report-data.ts'

/** The terms of a fit as a table, with their intervals at a level and what each means. */
export function termTable(
  { fit, level, model }: Pick<ReportFit, 'fit' | 'level' | 'model'>,
  study: Pick<Study, 'factors'>,
  response: Shown,
): Html | null {
  const unitOf = (name: string) => study.factors.find((factor) => factor.name === name)?.unit ?? ''
  const scale = scaleOf(model)
  return table(
    'Terms',
    [
      { label: 'Term' },
      { label: 'Estimate', number: true },
      { label: 'Standard error', number: true },
      { label: `${significant(100 * level, 2)} % interval`, number: true },
      { label: 'df', number: true },
      { label: 'p', number: true },
      { label: 'In words', words: true },
    ],
    fit.terms.map((term) => {
      const decimals = Math.min(12, decimalsFor(1) + digitsOf(term.standardError ?? term.estimate))
      return [
        term.term,
        fixed(term.estimate, decimals),
        fixed(term.standardError, decimals),
        term.lower === null ? '–' : `${fixed(term.lower, decimals)} to ${fixed(term.upper, decimals)}`,
        significant(term.df, 3),
        pValue(term.p),
        termWords(term, { scale, all: fit.terms, level, unitOf, response }),
      ]
    }),
  )
}

/** Decimals beyond the first that show two digits of so small a number. */
const digitsOf = (value: number) =>
  value === 0 ? 0 : Math.max(0, 1 - Math.floor(Math.log10(Math.abs(value)) + 1e-9) - decimalsFor(1))
