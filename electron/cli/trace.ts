import { basename } from 'node:path'
import type { MeanStep, StepHeight } from '../../shared/contract/results/trace.ts'
import { meanStep } from '../../shared/film/mean-step.ts'
import { type StepOptions, stepHeight } from '../../shared/film/step-height.ts'
import type { DecimalSign } from '../../shared/numbers.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { readTrace } from '../engine/files/read-trace.ts'
import { readFile } from '../read-file.ts'
import { decimalOf, fileOptions, type Given, numberOf, taker } from './options.ts'
import { digits, honest, numeric, printTable } from './print.ts'
import { inWords, type Verb } from './verb.ts'

/** `evenfilm trace`: the step height of one profilometer trace, or of several scans and their mean. */
export const trace: Verb = {
  name: 'trace',
  summary: 'step height of a profilometer trace',
  operands: ['FILE…'],
  options: {
    step: { value: 'LEFT:RIGHT', help: 'positions of the two edges, µm, where they are not found' },
    edge: { value: 'FROM:TO', help: 'a single edge: where its transition begins and ends, µm' },
    bow: { help: 'take out a parabola common to both levels; the standard has straight lines' },
    ...fileOptions,
  },
  more: [
    'The file has the columns position (µm) and height (nm), or two columns in that order; lines above them,',
    'units and delimiter are recognized. The step is positive for a ridge, negative for a groove (ISO',
    '5436-1:2000, type A1); a single edge, which that standard has not, is positive where it rises. Several',
    'files are scans of one step: each is given, and their mean.',
  ].join('\n'),
  async run(given) {
    const { problems, word } = taker(given)
    const decimal = decimalOf(given, word)
    if (problems.length > 0) return { ok: false, problems }
    const options = stepOptions(given)
    if (!options.ok) return options
    const scans: (StepHeight & { file: string })[] = []
    const notes: string[] = []
    for (const file of given.operands) {
      const found = scanOf(file, decimal, options.value)
      const place = given.operands.length > 1 ? `${basename(file)}: ` : ''
      if (!found.ok) {
        const named = found.problems.map((problem) => ({ ...problem, message: place + problem.message }))
        return { ok: false, problems: named }
      }
      scans.push({ file: basename(file), ...found.value.step })
      notes.push(...found.value.notes.map((note) => place + note))
    }
    const [first] = scans
    if (scans.length === 1 && first) {
      const { file: _, ...only } = first
      return good({ exit: 0, json: only, text: words(only), notes })
    }
    const mean = meanStep(scans)
    if (!mean.ok) return mean
    return good({ exit: 0, json: { mean: mean.value, scans }, text: wordsOfScans(scans, mean.value), notes })
  },
}

function scanOf(
  file: string,
  decimal: DecimalSign | undefined,
  options: StepOptions,
): Answer<{ step: StepHeight; notes: string[] }> {
  const bytes = readFile(file)
  if (!bytes.ok) return bytes
  const read = readTrace(bytes.value, { decimal })
  if (!read.ok) return read
  const step = stepHeight(read.value.points, options)
  if (!step.ok) return step
  return good({ step: step.value, notes: [...read.value.notes, ...step.value.warnings].map(inWords) })
}

function stepOptions(given: Given): Answer<StepOptions> {
  const step = edgesOf(given, 'step')
  if (!step.ok) return step
  const edge = edgesOf(given, 'edge')
  if (!edge.ok) return edge
  if (step.value && edge.value)
    return refuse('badOption', 'Give --step for a groove or ridge, or --edge for a single edge, not both.')
  const edges = step.value ?? edge.value
  return good({
    ...(edges ? { edges, kind: edge.value ? 'edge' : 'step' } : {}),
    bow: given.has('bow'),
  })
}

function edgesOf(given: Given, option: 'step' | 'edge'): Answer<[number, number] | null> {
  const text = given.text(option)
  if (text === null) return good(null)
  const [left = '', right = '', ...rest] = text.split(':')
  const from = numberOf(left, option)
  const to = numberOf(right, option)
  if (!from.ok || !to.ok || rest.length > 0)
    return refuse('badOption', `--${option} ${text}: write it as LEFT:RIGHT in µm.`, { column: option })
  return good([from.value, to.value])
}

const nanometres = (value: number | null) => (value === null ? '–' : `${digits(value, 2)} nm`)

function words(found: StepHeight): string {
  const span = ([from, to]: [number, number]) => `${digits(from, 5)} to ${digits(to, 5)} µm`
  const { uncertainty, regions, points } = found
  return printTable(
    ['', ''],
    [
      ['kind', found.kind],
      ['step', `${honest(found.step, found.standardUncertainty)} nm`],
      [
        'standard uncertainty',
        `${nanometres(found.standardUncertainty)}, without the instrument's calibration`,
      ],
      ['  of the residuals', nanometres(uncertainty.residuals)],
      ['  of the regions', nanometres(uncertainty.regions)],
      ['  of the bow left in', nanometres(uncertainty.form)],
      ['slope', `${digits(found.slope, 4)} nm/µm`],
      ...(found.bow === null ? [] : [['bow', `${digits(found.bow, 4)} nm/µm²`]]),
      ['residual sd', `${digits(found.residualStandardDeviation, 3)} nm`],
      ['width', `${digits(found.width, 5)} µm`],
      ['left', span(regions.left)],
      ...(regions.middle ? [['middle', span(regions.middle)]] : []),
      ['right', span(regions.right)],
      [
        'points',
        `${points.used} used, worth about ${digits(points.effective, 2)}; ${points.leftOut} left out`,
      ],
    ],
  ).trimStart()
}

function wordsOfScans(scans: readonly (StepHeight & { file: string })[], mean: MeanStep): string {
  const row = (name: string, value: { step: number; standardUncertainty: number }, more: string[]) => [
    name,
    honest(value.step, value.standardUncertainty),
    digits(value.standardUncertainty, 2),
    ...more,
  ]
  const table = printTable(
    ['scan', numeric('step nm'), numeric('uncertainty nm'), 'kind', numeric('left out')],
    [
      ...scans.map((scan) => row(scan.file, scan, [scan.kind, String(scan.points.leftOut)])),
      row(`mean of ${mean.n}`, mean, ['', '']),
    ],
  )
  const { scatter, regions, form } = mean.uncertainty
  const parts = `scatter s/√n ${nanometres(scatter)}, regions ${nanometres(regions)}, bow left in ${nanometres(form)}`
  return `${table}\n\nThe uncertainty of the mean is of: ${parts}.`
}
