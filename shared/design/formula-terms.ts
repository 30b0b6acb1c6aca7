import type { Factor } from '../contract/things.ts'
import type { Expression } from '../model/expression.ts'
import { parseFormula } from '../model/formula.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { constantTerm, crossed, type DesignTerm, mainEffect, power } from './design-terms.ts'

/**
 * The terms of a model formula in coded factors, such as `speed*time + speed^2`. Functions are refused (a
 * factor is coded on the log scale instead), and so is a model without a constant. A response before `~` is
 * read over.
 */
export function termsOfFormula(text: string, factors: readonly Factor[]): Answer<DesignTerm[]> {
  const formula = parseFormula(text)
  if (!formula.ok) return formula
  const problems: Problem[] = []
  if (formula.value.terms[0]?.length !== 0)
    problems.push({
      code: 'noConstant',
      message: 'The model of a plan keeps its constant: leave out the 0.',
      column: 'model',
    })
  const terms = formula.value.terms.flatMap((term) => {
    let columns: DesignTerm[] | null = null
    for (const expression of term) {
      const part = columnsFor(expression, factors, problems)
      columns = columns === null ? part : crossed(columns, part)
    }
    return columns ?? [constantTerm]
  })
  return problems.length > 0 ? { ok: false, problems } : good(terms)
}

function columnsFor(expression: Expression, factors: readonly Factor[], problems: Problem[]): DesignTerm[] {
  const fail = (code: string, message: string): DesignTerm[] => {
    problems.push({ code, message, column: 'model' })
    return []
  }
  if (expression.kind === 'function')
    return fail(
      'functionInPlan',
      `A plan's model is in coded factors, without ${expression.name}(). Give the factor the log scale instead.`,
    )
  const of = expression.kind === 'power' ? expression.of : expression
  if (of.kind !== 'column')
    return fail('functionInPlan', "A plan's model takes powers of factors only, without functions.")
  const index = factors.findIndex((factor) => factor.name === of.name)
  if (index < 0)
    return fail(
      'unknownFactor',
      `The model names ‘${of.name}’, which is no factor of this plan. ` +
        `Its factors are ${factors.map((factor) => factor.name).join(', ')}.`,
    )
  if (expression.kind === 'column') return mainEffect(factors, index)
  const { exponent } = expression
  if (factors[index]!.kind === 'categorical')
    return fail('powerOfLevels', `${of.name} has levels by name; they have no power.`)
  if (!Number.isInteger(exponent) || exponent < 1)
    return fail('oddPower', `The power ${exponent} of ${of.name} must be a whole number above 0.`)
  return exponent === 1 ? mainEffect(factors, index) : [power(factors, index, exponent)]
}
