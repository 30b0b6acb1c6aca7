import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { evenfilmHere, folder } from '../cli/evenfilm.ts'

const readme = readFileSync(join(import.meta.dirname, '../../README.md'), 'utf8')

/** The commands of the README, each as words; a shell's comments and line ends are taken out. */
const commands = [...readme.matchAll(/```sh\n([\s\S]*?)```/g)]
  .flatMap(([, block = '']) => block.replaceAll('\\\n', ' ').split('\n'))
  .filter((line) => line.startsWith('npx evenfilm ') && !line.includes(' serve'))
  .map((line) =>
    [...line.replace(/\s#.*$/, '').matchAll(/"([^"]*)"|(\S+)/g)]
      .map(([, quoted, bare]) => quoted ?? bare ?? '')
      .slice(2),
  )

/** Invented readings of 4 wafers by 2 operators. */
const gauge = [
  'wafer,operator,reload,thickness (nm)',
  ...[1, 2, 3, 4].flatMap((wafer) =>
    ['A', 'B'].flatMap((operator, o) =>
      [1, 2].map((reload) => `${wafer},${operator},${reload},${1490 + 5 * wafer + o + 0.7 * reload}`),
    ),
  ),
]
/** Invented readings of a recipe that is watched. */
const monitor = ['thickness', ...Array.from({ length: 30 }, (_, i) => 1500 + 4 * Math.sin(5 * i))]

test('every command of the README answers, in their order', async () => {
  const before = process.cwd()
  const at = folder()
  process.chdir(at)
  try {
    writeFileSync('gauge-readings.csv', gauge.join('\n'))
    writeFileSync('monitor.csv', monitor.join('\n'))
    expect(commands.length).toBeGreaterThan(15)
    for (const words of commands) {
      const { exit, stdout, stderr } = await evenfilmHere(words)
      expect({ words, exit, stderr: exit === 0 ? '' : stderr }).toEqual({ words, exit: 0, stderr: '' })
      expect(stdout, words.join(' ')).not.toBe('')
    }
    for (const file of ['sweep.html', 'sweep.evenfilm', 'plan.csv']) expect(existsSync(file), file).toBe(true)
  } finally {
    process.chdir(before)
  }
}, 120_000)
