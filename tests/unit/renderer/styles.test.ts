import { readdirSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { describe, expect, test } from 'vitest'

const renderer = resolve(import.meta.dirname, '../../../renderer')
const files = readdirSync(renderer, { recursive: true, encoding: 'utf8' }).map((file) => join(renderer, file))
const read = (file: string) => readFileSync(file, 'utf8')
const tokens = read(join(renderer, 'styles/tokens.css'))

type Colour = { name: string; hex: string }

/** Colours of a theme by name, out of the block that its selector opens. */
function coloursOf(theme: 'light' | 'dark' | 'bay'): Colour[] {
  const block = new RegExp(`\\[data-theme=["']${theme}["']\\] \\{([^}]*)\\}`).exec(tokens)?.[1] ?? ''
  return [...block.matchAll(/--([a-z0-9-]+): (#[0-9a-f]+);/g)].map((match) => ({
    name: match[1] as string,
    hex: match[2] as string,
  }))
}

const channels = (hex: string) => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255)

/** Relative luminance and contrast ratio of WCAG 2.1 (W3C Recommendation, 2018), definitions in section “Glossary”. */
function luminance(hex: string): number {
  const linear = channels(hex).map((c) => (c <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
  return 0.2126 * linear[0]! + 0.7152 * linear[1]! + 0.0722 * linear[2]!
}
function contrast(one: string, other: string): number {
  const [high, low] = [luminance(one), luminance(other)].sort((a, b) => b - a) as [number, number]
  return (high + 0.05) / (low + 0.05)
}

describe('colours', () => {
  test('the contrast used here gives the known ratios of black, grey and white', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10)
    // #767676 on white is 4.54 : 1 (W3C, Understanding Success Criterion 1.4.3).
    expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2)
  })

  test('the three themes name the same colours', () => {
    const names = (['light', 'dark', 'bay'] as const).map((theme) =>
      coloursOf(theme).map((colour) => colour.name),
    )
    expect(names[0]!.length).toBeGreaterThan(20)
    expect(names[1]).toEqual(names[0])
    expect(names[2]).toEqual(names[0])
  })

  test('the bay theme has nothing in the blue channel', () => {
    expect(coloursOf('bay').filter((colour) => colour.hex.slice(5, 7) !== '00')).toEqual([])
  })

  test('the bay theme is black, red and amber: red is never weaker than green', () => {
    const greenish = coloursOf('bay').filter(({ hex }) => channels(hex)[1]! > channels(hex)[0]!)
    expect(greenish).toEqual([])
  })

  test.each(['light', 'dark', 'bay'] as const)('text is read at 4.5 : 1 on every ground in %s', (theme) => {
    const colour = Object.fromEntries(coloursOf(theme).map(({ name, hex }) => [name, hex])) as Record<
      string,
      string
    >
    const grounds = ['paper', 'rail-paper', 'raised', 'sunk', 'hover', 'chosen']
    const texts = ['ink', 'ink-soft', 'accent', 'within', 'outside', 'warning']
    const pairs = [
      ...texts.flatMap((text) => grounds.map((ground) => [text, ground])),
      ['on-accent', 'accent'],
      ['on-accent', 'accent-hover'],
      ['ink', 'outside-wash'],
      ['ink', 'warning-wash'],
      ['outside', 'outside-wash'],
      ['warning', 'warning-wash'],
    ] as [string, string][]
    const faint = pairs
      .map(([text, ground]) => ({ text, ground, ratio: contrast(colour[text]!, colour[ground]!) }))
      .filter(({ ratio }) => ratio < 4.5)
    expect(faint).toEqual([])
  })

  test.each(['light', 'dark', 'bay'] as const)(
    'borders of fields and the focus are seen at 3 : 1 in %s',
    (theme) => {
      const colour = Object.fromEntries(coloursOf(theme).map(({ name, hex }) => [name, hex])) as Record<
        string,
        string
      >
      for (const name of ['line-strong', 'focus', 'mark', 'series-1', 'series-2', 'series-3', 'series-4'])
        expect({ name, seen: contrast(colour[name]!, colour.paper!) >= 3 }).toEqual({ name, seen: true })
    },
  )

  test('no part of the page brings a colour of its own', () => {
    const own = files
      .filter((file) => /\.(vue|css)$/.test(file) && !/styles\/(tokens|print)\.css$/.test(file))
      .filter((file) => /(?::|\s)#[0-9a-f]{3,8}\b\s*[;,)]|\brgba?\(|\bhsla?\(/i.test(styleOf(read(file))))
    expect(own).toEqual([])
  })

  test('no component takes the name of what hides a text from sight', () => {
    const hiding = files.filter(
      (file) => /\.(vue|css)$/.test(file) && /^\s*\.unseen\b/m.test(styleOf(read(file))),
    )
    expect(hiding.map((file) => file.split(/[\\/]/).at(-1))).toEqual(['common.css'])
  })
})

/** The style blocks of a Vue file, or the whole of a style sheet, without what is for paper alone. */
function styleOf(text: string): string {
  const blocks = [...text.matchAll(/<style[^>]*>([\s\S]*?)<\/style>/g)].map((match) => match[1])
  const style = blocks.length > 0 ? blocks.join('\n') : text.includes('<template') ? '' : text
  return style.replace(/^@media print \{[\s\S]*?^\}/gm, '')
}

describe('templates', () => {
  const vue = files.filter((file) => file.endsWith('.vue'))

  test('have no static style attribute, which the content policy would block', () => {
    expect(vue.length).toBeGreaterThan(20)
    expect(vue.filter((file) => /\sstyle="/.test(templateOf(read(file))))).toEqual([])
  })

  test('have no title attribute: the system draws its tooltip in its own colours', () => {
    const native = /<(?:a|button|div|input|p|section|span|svg|td|th|tr)\b[^>]*\s:?title="/
    expect(vue.filter((file) => native.test(templateOf(read(file))))).toEqual([])
  })

  test('read in one sitting: below 250 lines', () => {
    expect(vue.filter((file) => read(file).split('\n').length > 250)).toEqual([])
  })
})

function templateOf(text: string): string {
  return text.slice(text.indexOf('<template'), text.lastIndexOf('</template>'))
}

test('an outline of text has round joins, or its sharp corners stand out as spikes', () => {
  const outlined = files
    .filter((file) => /\.(css|vue)$/.test(file))
    .flatMap((file) => read(file).match(/\{[^{}]*paint-order: stroke[^{}]*\}/g) ?? [])
  expect(outlined.length).toBeGreaterThan(0)
  expect(outlined.filter((rule) => !rule.includes('stroke-linejoin: round'))).toEqual([])
})
