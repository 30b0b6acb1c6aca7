import type { Factor, FactorRole } from '../../shared/contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'
import { numberOf, pairOf } from './options.ts'

/** How --factor is written; stands in the help of the verbs that take it. */
export const factorGrammar = [
  '--factor "NAME=LOW:HIGH[:LEVELS[:STEP]] [UNIT] [log] [hard]"   a number from LOW to HIGH',
  '--factor "NAME=A|B"                                           one of the named levels',
  '  LEVELS  levels of a grid (2), STEP what the tool can be set to, log codes on the log scale,',
  '  hard is hard to change, such as the setting of a hot plate.',
].join('\n')

/**
 * Reads all --factor options.
 *
 * @param options.fixed whether LOW may equal HIGH and a single level may stand, which holds the factor there
 */
export function factorsOf(texts: string[], options: { fixed: boolean }): Answer<Factor[]> {
  const problems: Problem[] = []
  const factors: Factor[] = []
  for (const text of texts) {
    const factor = factorOf(text, options)
    if (!factor.ok) problems.push(...factor.problems)
    else if (factors.some((other) => other.name === factor.value.name))
      problems.push({
        code: 'duplicateFactor',
        message: `--factor ${text}: there is another factor called ‘${factor.value.name}’.`,
        column: factor.value.name,
      })
    else factors.push(factor.value)
  }
  return problems.length > 0 ? { ok: false, problems } : good(factors)
}

function factorOf(text: string, options: { fixed: boolean }): Answer<Factor> {
  const [written, rest] = pairOf(text)
  if (written === '')
    return refuse('badFactor', `--factor ${text}: write it as NAME=LOW:HIGH or NAME=A|B.`, {
      column: 'factor',
    })
  const name = written.replace(/^"(.*)"$/, (_, quoted: string) => quoted.replaceAll('""', '"'))
  const bad = (words: string) => refuse('badFactor', `--factor ${text}: ${words}`, { column: name })
  const range = /^([^\s:|]+:\S+)(.*)$/.exec(rest)
  if (!range || rest.includes('|')) return levelsOf(name, rest, bad, options)
  const [, numbers = '', words = ''] = range
  const values: number[] = []
  for (const number of numbers.split(':')) {
    const value = numberOf(number, 'factor')
    if (!value.ok) return bad(`‘${number}’ is no number.`)
    values.push(value.value)
  }
  const [low = 0, high = 0, levels = 2, step = null] = values
  if (values.length > 4) return bad('after the = stand at most LOW:HIGH:LEVELS:STEP.')
  if (low > high || (low === high && !options.fixed)) return bad(`LOW must be below HIGH.`)
  if (!Number.isInteger(levels) || levels < 2 || levels > 50)
    return bad(`${levels} levels; it must be a whole number from 2 to 50.`)
  if (step !== null && !(step > 0)) return bad('STEP must be above 0.')
  const tags = words.split(/\s+/).filter((word) => word !== '')
  const units = tags.filter((tag) => tag !== 'log' && tag !== 'hard')
  if (units.length > 1) return bad(`‘${units[1]}’ is neither log nor hard, and the unit is ‘${units[0]}’.`)
  if (tags.includes('log') && low <= 0) return bad('the log scale needs LOW above 0.')
  const role = roleOf(name, units[0] ?? null)
  return good({
    name,
    role,
    unit: /^deg ?c$/i.test(units[0] ?? '') ? '°C' : (units[0] ?? usualUnit[role]),
    kind: 'continuous',
    low,
    high,
    levels,
    levelNames: [],
    step,
    scale: tags.includes('log') ? 'log' : 'linear',
    hardToChange: tags.includes('hard'),
  })
}

function levelsOf(
  name: string,
  text: string,
  bad: (words: string) => Answer<Factor>,
  options: { fixed: boolean },
): Answer<Factor> {
  const hard = /^(.*)\shard$/.exec(text)
  const levelNames = (hard?.[1] ?? text).split('|').map((level) => level.trim())
  if (levelNames.some((level) => level === '')) return bad('a level has no name.')
  if (new Set(levelNames).size < levelNames.length) return bad('a level stands there twice.')
  if (levelNames.length < 2 && !options.fixed) return bad('it needs a range LOW:HIGH or two levels A|B.')
  return good({
    name,
    role: roleOf(name, null),
    unit: '',
    kind: 'categorical',
    low: null,
    high: null,
    levels: Math.max(2, levelNames.length),
    levelNames,
    step: null,
    scale: 'linear',
    hardToChange: hard !== null,
  })
}

/** The unit of a factor where none is written. */
export const usualUnit: Record<FactorRole, string> = {
  speed: 'rpm',
  time: 's',
  ramp: 'rpm/s',
  'bake temperature': '°C',
  'bake time': 's',
  lot: '',
  other: '',
}

/** What a factor of this name sets on the tools; `other` where the name does not say. */
export function roleOf(name: string, unit: string | null): FactorRole {
  const word = name.toLowerCase().replace(/[^a-z]+/g, ' ')
  const seconds = unit === 's' || unit === 'min'
  if (/\b(lot|batch)\b/.test(word)) return 'lot'
  if (/\b(ramp|acceleration)\b/.test(word)) return 'ramp'
  if (/\b(bake|plate)\b/.test(word))
    return seconds || /\btime\b/.test(word) ? 'bake time' : 'bake temperature'
  if (/\b(speed|rpm)\b/.test(word)) return 'speed'
  if (/\btemperature\b/.test(word)) return 'bake temperature'
  if (/\b(time|dwell)\b/.test(word)) return 'time'
  return 'other'
}
