import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { quoted, termText } from '../../../shared/model/expression.ts'
import { formulaText, parseFormula } from '../../../shared/model/formula.ts'

/** The expanded terms, or the message of a formula that cannot be read. */
function termsOf(text: string): string[] | string {
  const answer = parseFormula(text)
  return answer.ok ? answer.value.terms.map(termText) : (answer.problems[0]?.message ?? '')
}

describe('operators expand as in Wilkinson & Rogers, Applied Statistics 22 (1973)', () => {
  test.each([
    ['y ~ a + b', ['constant', 'a', 'b']],
    ['y ~ a*b', ['constant', 'a', 'b', 'a.b']],
    ['y ~ a*b*c', ['constant', 'a', 'b', 'a.b', 'c', 'a.c', 'b.c', 'a.b.c']],
    ['y ~ a/b', ['constant', 'a', 'a.b']],
    ['y ~ a/b/c', ['constant', 'a', 'a.b', 'a.b.c']],
    ['y ~ (a+b)/c', ['constant', 'a', 'b', 'a.b.c']],
    ['y ~ a/(b+c)', ['constant', 'a', 'a.b', 'a.c']],
    ['y ~ a*b/c', ['constant', 'a', 'b', 'b.c', 'a.b', 'a.b.c']],
    ['y ~ (a+b).(c+d)', ['constant', 'a.c', 'a.d', 'b.c', 'b.d']],
    ['y ~ a:b', ['constant', 'a.b']],
    ['y ~ a.a + b.a + a.b', ['constant', 'a', 'b.a']],
    ['y ~ a*b*c - a.b.c', ['constant', 'a', 'b', 'a.b', 'c', 'a.c', 'b.c']],
    ['y ~ (a+b+c)*(a+b+c) - a.b', ['constant', 'a', 'b', 'c', 'a.c', 'b.c']],
  ])('%s', (text, terms) => {
    expect(termsOf(text)).toEqual(terms)
  })
})

describe('our additions', () => {
  test.each([
    ['y ~ 1', ['constant']],
    ['y ~ 0 + a', ['a']],
    ['y ~ a - 1', ['a']],
    ['y ~ a + 0', ['a']],
    ['y ~ 0 + a + 1', ['constant', 'a']],
    ['y ~ speed^2', ['constant', 'speed^2']],
    ['y ~ log(speed)^2', ['constant', 'log(speed)^2']],
    ['y ~ log(speed^2)', ['constant', 'log(speed^2)']],
    ['y ~ (speed)^2', ['constant', 'speed^2']],
    ['y ~ (a.b)^2', ['constant', 'a^2.b^2']],
    ['y ~ (a^2)^3', ['constant', 'a^6']],
    ['y ~ a^-1 + a^(-0.5)', ['constant', 'a^-1', 'a^-0.5']],
    ['y ~ a^2.b', ['constant', 'a^2.b']],
    ['y ~ a^2.5', ['constant', 'a^2.5']],
    ['y ~ a^2.5th', ['constant', 'a^2.5th']],
    ['y ~ (a+b+c)^2', ['constant', 'a', 'b', 'c', 'a.b', 'a.c', 'b.c']],
    ['y ~ (a+b)^9', ['constant', 'a', 'b', 'a.b']],
    ['y ~ (a+b)^2 + a^2 + b^2', ['constant', 'a', 'b', 'a.b', 'a^2', 'b^2']],
    [
      'y ~ log10(a) + sqrt(a) + exp(a) + inverse(a)',
      ['constant', 'log10(a)', 'sqrt(a)', 'exp(a)', 'inverse(a)'],
    ],
    ['y ~ "bake temp"*lot', ['constant', '"bake temp"', 'lot', '"bake temp".lot']],
    ['y ~ "speed"', ['constant', 'speed']],
    ['y ~ "so-called ""x"""', ['constant', '"so-called ""x"""']],
    ['y ~ log', ['constant', 'log']],
    ['y ~ Drehzahl_größer + 2θ', ['constant', 'Drehzahl_größer', '2θ']],
    ['  y~a+\tb ', ['constant', 'a', 'b']],
    ['y ~ a \u2212 1', ['a']],
    ['speed*time', ['constant', 'speed', 'time', 'speed.time']],
  ])('%s', (text, terms) => {
    expect(termsOf(text)).toEqual(terms)
  })

  test.each([
    ['y ~ a', 'y'],
    ['log(y) ~ a', 'log(y)'],
    ['"film thickness" ~ a', '"film thickness"'],
    ['inverse(y) ~ a', 'inverse(y)'],
  ])('the response of %s is %s', (text, response) => {
    const answer = parseFormula(text)
    expect(answer.ok && formulaText(answer.value)).toBe(`${response} ~ a`)
  })
})

describe('what cannot be read is refused at its character', () => {
  test.each([
    ['y ~ a +', 8, 'ends'],
    ['y ~ a b', 7, '‘b’'],
    ['y ~ a ++ b', 8, '‘+’'],
    ['y ~ (a + b', 5, 'not closed'],
    ['y ~ a)', 6, 'closes none'],
    ['y ~ ln(a)', 5, 'no function'],
    ['y ~ log(a + b)', 11, '‘+’'],
    ['y ~ log()', 9, '‘)’'],
    ['y ~ 2*a', 5, 'no term'],
    ['y ~ a*0', 6, '‘0’'],
    ['y ~ a^b', 7, 'a number'],
    ['y ~ a^0', 6, 'Write 1'],
    ['y ~ (a+b)^1.5', 10, 'whole order'],
    ['y ~ "a', 5, 'not closed'],
    ['y ~ ""', 5, 'no name'],
    ['y ~ a $ b', 7, '‘$’'],
    ['a + b ~ c', 3, '‘~’'],
    ['log(log(y)) ~ a', 1, 'under one function'],
    ['y^2 ~ a', 1, 'under one function'],
    ['y ~ a ~ b', 7, '‘~’'],
    ['y ~ a - a - 1', 14, 'No term is left'],
    ['y ~', 4, 'ends'],
    ['', 1, 'ends'],
    ['y ~ (a+b+c+d+e+f+g+h+i+j+k+l)^9', 30, 'more than 500'],
    [`y ~ ${'('.repeat(60)}a${')'.repeat(60)}`, 55, 'too deep'],
  ])('%s', (text, character, part) => {
    const message = termsOf(text)
    expect(message).toContain(`at character ${character}:`)
    expect(message).toContain(part)
  })
})

const name = fc.oneof(
  fc.constantFrom('speed', 'time', 'lot', 'x1', '_a'),
  fc.string({ minLength: 1, maxLength: 8 }).filter((text) => text.trim() !== ''),
)
const formula = fc.letrec((tie) => ({
  atom: fc.oneof(
    name.map(quoted),
    name.map((column) => `log(${quoted(column)})`),
    name.map((column) => `${quoted(column)}^2`),
  ),
  sum: fc
    .array(fc.tuple(fc.constantFrom('+', '*', '/', '.', '-'), tie('part')), { minLength: 1, maxLength: 4 })
    .map((parts) => parts.map(([operator, part], i) => (i === 0 ? part : `${operator} ${part}`)).join(' ')),
  part: fc.oneof(
    { depthSize: 'small' },
    tie('atom'),
    tie('sum').map((sum) => `(${sum})`),
  ),
}))

describe('for any formula', () => {
  test('the expanded text reads as itself', () => {
    fc.assert(
      fc.property(formula.sum as fc.Arbitrary<string>, (right) => {
        const first = parseFormula(`y ~ ${right}`)
        if (!first.ok) return
        const text = formulaText(first.value)
        const second = parseFormula(text)
        expect(second.ok && formulaText(second.value)).toBe(text)
      }),
    )
  })

  test('any text is read or refused, never thrown at', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom(...'ab1 0+-*/.^()~"log,§2'), maxLength: 40 }), (text) => {
        expect(typeof parseFormula(text).ok).toBe('boolean')
      }),
      { numRuns: 1000 },
    )
  })
})
