import { readdirSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { describe, expect, test } from 'vitest'
import { parse } from 'vue/compiler-sfc'
import { bottleEventKinds, factorRoles } from '../../../shared/contract/choices.ts'

const renderer = resolve(import.meta.dirname, '../../../renderer')
/** Every Vue file but those of the page of parts, which only who works on them sees. */
const vueFiles = readdirSync(renderer, { recursive: true, encoding: 'utf8' }).filter(
  (file) => file.endsWith('.vue') && !file.startsWith('parts-page'),
)

/** Attributes of our parts and of HTML that a person reads or hears. */
const spoken = new Set(
  'alt aria-description aria-label caption empty hint label legend note placeholder title unit words'.split(
    ' ',
  ),
)
/** Names of the contract for what a file may hold, and of a paper. */
const importNames = ['lower left', 'not said', 'optical index', 'taken after', 'Letter']
/** Values of the data that happen to read as words, such as the kind of an event. */
const values = new Set<string>([...bottleEventKinds, ...factorRoles, 'set beforehand', ...importNames])
/** Signs and units are the same in every language. */
const unitsAlone = /^(?:[^\p{L}]|nm|µm|Å|mm|mL|rpm|rpm\/s|s|min|h|°C|%|RH|σ|σ²)*$/u
const isWords = (text: string) => !unitsAlone.test(text.trim())
/** A literal that reads as a sentence or a label: two words, or one with a capital. */
const literal = /'((?:[^'\\\n]|\\.)*)'|"((?:[^"\\\n]|\\.)*)"|`((?:[^`\\]|\\.)*)`/g
const reads = (text: string) => /\p{L}{2,} \p{L}|^\p{Lu}\p{Ll}+/u.test(text)
const withoutValues = (text: string) => text.replace(/\$\{[^}]*\}/g, '…')

type Node = {
  type: number
  content?: unknown
  tag?: string
  props?: { type: number; name: string; value?: { content: string }; exp?: { content: string } }[]
  children?: Node[]
}

/** What a value is compared with is never shown: names of keys, of states. */
const comparand = /[!=]==\s*'[^'\n]*'/g

function literalsOf(code: string): string[] {
  return [...code.replace(comparand, '').matchAll(literal)]
    .map((match) => withoutValues(match[1] ?? match[2] ?? match[3] ?? ''))
    .filter((text) => reads(text) && !values.has(text))
}

/** Words that stand in the template or the script of a Vue file. */
function wordsIn(text: string): string[] {
  const { descriptor } = parse(text)
  const found: string[] = []
  const walk = (node: Node) => {
    if (node.type === 2 && isWords(String(node.content))) found.push(String(node.content).trim())
    if (node.type === 5) found.push(...literalsOf((node.content as { content: string }).content))
    for (const prop of node.props ?? []) {
      if (prop.type === 6 && spoken.has(prop.name) && isWords(prop.value?.content ?? ''))
        found.push(`${prop.name}="${prop.value?.content}"`)
      if (prop.type === 7 && prop.exp) found.push(...literalsOf(prop.exp.content))
    }
    for (const child of node.children ?? []) walk(child)
  }
  if (descriptor.template?.ast) walk(descriptor.template.ast as unknown as Node)
  const script = (descriptor.scriptSetup?.content ?? '') + (descriptor.script?.content ?? '')
  const code = script.replace(/^import[\s\S]*?from '.*'$/gm, '').replace(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$/gm, '')
  return [...found, ...literalsOf(code)]
}

describe('words of the page', () => {
  test('the search finds words in text, attributes, expressions and scripts', () => {
    const file = `<script setup lang="ts">
import { a } from './Some Name.vue'
/** Words of a comment. */
const key = 'plain'
const said = key === 'Escape' || 'Two words'
</script><template><p label="Speed" unit="rpm" :title="more ? 'Add a run' : key">12 nm {{ \`\${a} more runs\` }} Said</p></template>`
    expect(wordsIn(file)).toEqual(['label="Speed"', 'Add a run', '… more runs', 'Said', 'Two words'])
  })

  test.each(vueFiles)('%s takes its words from words.ts', (file) => {
    expect(wordsIn(readFileSync(join(renderer, file), 'utf8')), 'belongs into words.ts').toEqual([])
  })
})
