import { type StepHeight, stepHeight } from '../../shared/film/step-height.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { thicknessUnitOf, toNanometres } from '../../shared/units.ts'
import { fileOptions, numberOf } from './options.ts'
import { digits, honest, printTable } from './print.ts'
import { numbersOf, readTable } from './table-file.ts'
import type { Verb } from './verb.ts'

/** `evenfilm trace`: the step height of a profilometer trace. */
export const trace: Verb = {
  name: 'trace',
  summary: 'step height of a profilometer trace',
  operands: ['FILE'],
  options: {
    step: { value: 'LEFT:RIGHT', help: 'positions of the two edges, µm, where they are not found' },
    ...fileOptions,
  },
  more: [
    'The file has the columns position (µm) and height (nm), or two columns in that order. The step is',
    'positive for a ridge, negative for a groove (ISO 5436-1:2000, type A1).',
  ].join('\n'),
  async run(given) {
    const edges = edgesOf(given.text('step'))
    if (!edges.ok) return edges
    const file = readTable(given)
    if (!file.ok) return file
    const named = (name: string) => file.value.table.columns.find((column) => column.name === name)
    const [first, second] = file.value.table.columns
    const position = named('position') ?? first
    const height = named('height') ?? second
    if (position === undefined || height === undefined || position === height)
      return refuse('unknownColumn', 'A trace needs two columns: position and height.')
    const numbers = numbersOf(file.value, [position, height])
    if (!numbers.ok) return numbers
    const inNm = (value: number, unit: string | undefined, usual: 'nm' | 'µm') =>
      toNanometres(value, thicknessUnitOf(unit ?? '') ?? usual)
    const [positions = [], heights = []] = numbers.value
    const points = positions.flatMap((at, i) => {
      const up = heights[i] ?? null
      if (at === null || up === null) return []
      const along = position.unit === 'mm' ? at * 1000 : inNm(at, position.unit, 'µm') / 1000
      return [{ position: along, height: inNm(up, height.unit, 'nm') }]
    })
    const found = stepHeight(points, edges.value === null ? {} : { edges: edges.value })
    if (!found.ok) return found
    return good({ exit: 0, json: found.value, text: words(found.value), notes: file.value.notes })
  },
}

function edgesOf(text: string | null): Answer<[number, number] | null> {
  if (text === null) return good(null)
  const [left = '', right = '', ...rest] = text.split(':')
  const from = numberOf(left, 'step')
  const to = numberOf(right, 'step')
  if (!from.ok || !to.ok || rest.length > 0)
    return refuse('badOption', `--step ${text}: write it as LEFT:RIGHT in µm.`, { column: 'step' })
  return good([from.value, to.value])
}

function words(found: StepHeight): string {
  const span = ([from, to]: [number, number]) => `${digits(from, 5)} to ${digits(to, 5)} µm`
  return printTable(
    ['', ''],
    [
      ['step', `${honest(found.step, found.standardUncertainty)} nm`],
      ['standard uncertainty', `${digits(found.standardUncertainty, 2)} nm, at least`],
      ['slope', `${digits(found.slope, 4)} nm/µm`],
      ['residual sd', `${digits(found.residualStandardDeviation, 3)} nm`],
      ['width', `${digits(found.width, 5)} µm`],
      ['left', span(found.regions.left)],
      ['middle', span(found.regions.middle)],
      ['right', span(found.regions.right)],
    ],
  ).trimStart()
}
