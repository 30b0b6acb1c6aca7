import type { z } from 'zod'

type Issue = z.core.$ZodIssue

/** What is wrong with one argument of a call, as the end of a sentence that begins with its place. */
export function plainIssue(issue: Issue): string {
  switch (issue.code) {
    case 'invalid_type':
      if (issue.input === undefined || issue.expected === 'nonoptional') return 'is missing'
      return issue.expected === 'number' || issue.expected === 'int'
        ? `needs ${issue.expected === 'int' ? 'a whole number' : 'a number'}`
        : `needs a value of the kind ‘${issue.expected}’`
    case 'too_small':
      if (issue.origin === 'string') return 'must not be empty'
      if (issue.origin === 'array') return `needs at least ${issue.minimum}`
      return issue.inclusive ? `must be ${issue.minimum} or more` : `must be more than ${issue.minimum}`
    case 'too_big':
      if (issue.origin === 'string') return `must have at most ${issue.maximum} characters`
      if (issue.origin === 'array') return `can have at most ${issue.maximum}`
      return issue.inclusive ? `must be ${issue.maximum} or less` : `must be less than ${issue.maximum}`
    case 'invalid_value':
      return `must be one of ${issue.values.map((value) => `‘${String(value)}’`).join(', ')}`
    case 'invalid_format':
      return issue.format === 'uuid' ? 'is no identifier' : 'is not written as it should be'
    default:
      return 'cannot be taken as it is'
  }
}
