import fc from 'fast-check'
import { expect, test } from 'vitest'
import { escaped } from '../../../shared/escaped.ts'
import { table } from '../../../shared/report/blocks.ts'
import { html, markup } from '../../../shared/report/html.ts'

const back: Record<string, string> = { '&amp;': '&', '&lt;': '<', '&gt;': '>', '&quot;': '"', '&#39;': "'" }

test('an escaped text holds no sign of markup, and is the same text again when read', () => {
  fc.assert(
    fc.property(
      fc.string({ unit: fc.constantFrom('<', '>', '&', '"', "'", 'a', ';', '/', '\u00e9') }),
      (text) => {
        const safe = escaped(text)
        expect(safe).not.toMatch(/[<>"']/)
        expect(safe.replaceAll(/&(?:amp|lt|gt|quot|#39);/g, (entity) => back[entity] as string)).toBe(text)
      },
    ),
  )
})

test('fillings are escaped, markup and lists of it stay, null leaves nothing, and signs that HTML does not know go', () => {
  const rows = ['<a>', 'b'].map((text) => html`<li>${text}</li>`)
  expect(html`<ul title="${'"x"'}">${rows}${null}${3}${markup('<hr>')}</ul>`.markup).toBe(
    '<ul title="&quot;x&quot;"><li>&lt;a&gt;</li><li>b</li>3<hr></ul>',
  )
  expect(escaped('a\u0000b\u001fc\n')).toBe('abc\n')
})

test('a table has its header in a head of its own, which pages repeat; one without rows is left out', () => {
  const made = table('Runs', [{ label: 'Run' }, { label: 'Mean', number: true }], [['W<1', '1500']])
  expect(made?.markup).toBe(
    '<table><caption>Runs</caption><thead><tr><th scope="col">Run</th><th scope="col" class="number">Mean</th></tr></thead>' +
      '<tbody><tr><td>W&lt;1</td><td class="number">1500</td></tr></tbody></table>',
  )
  expect(table('Runs', [{ label: 'Run' }], [])).toBeNull()
})
