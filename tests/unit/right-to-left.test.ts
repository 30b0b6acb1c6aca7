import fc from 'fast-check'
import { expect, test } from 'vitest'
import { html } from '../../shared/report/html.ts'
import { directed, rightToLeftApart } from '../../shared/right-to-left.ts'

test('words from right to left stand in isolates, and the numbers beside them outside', () => {
  expect(rightToLeftApart('lot שלום עולם 12 nm, 13')).toBe('lot \u2068שלום עולם\u2069 12 nm, 13')
})

test('a text that begins from right to left stays whole, and what turns more than itself goes', () => {
  expect(directed('עובי 12 nm')).toBe('עובי 12 nm')
  expect(directed('12 עובי')).toBe('12 עובי')
  expect(directed('lot عينة 3')).toBe('lot \u2068عينة\u2069 3')
  expect(directed('a\u202eb\u2066c\u200fd')).toBe('abc\u200fd')
  expect(html`<p>${'<b>\u202e'}</p>`.markup).toBe('<p>&lt;b&gt;</p>')
})

test('every isolate is closed, whatever the text holds', () => {
  const unit = fc.constantFrom(
    'a',
    'ש',
    'ع',
    ' ',
    '1',
    '\u2066',
    '\u2069',
    '\u202e',
    '\u0301',
    '\u200d',
    '\n',
  )
  fc.assert(
    fc.property(fc.string({ unit }), (text) => {
      let open = 0
      for (const sign of directed(text)) {
        if (sign === '\u2068') open++
        if (sign === '\u2069') open--
        expect(open === 0 || open === 1).toBe(true)
      }
      expect(open).toBe(0)
    }),
  )
})
