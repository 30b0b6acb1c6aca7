import type { ProgramCheck } from '../../shared/contract/results/check.ts'
import type { Segment } from '../../shared/contract/things.ts'
import { sidesOf } from '../../shared/film/substrate.ts'
import { parseNumber } from '../../shared/numbers.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { cautions } from '../../shared/process/cautions.ts'
import {
  type CheckInput,
  checkProgram,
  usualCoater,
  usualHotPlate,
} from '../../shared/process/check-program.ts'
import { checkStates, stateInWords } from '../../shared/process/check-states.ts'
import { studyDefaults } from '../../shared/study-defaults.ts'
import { type Given, taker } from './options.ts'
import { digits, numeric, printTable } from './print.ts'
import { outlineOf, substrateOptions } from './substrate-options.ts'
import type { Verb } from './verb.ts'

/** Checks that are told of even where nothing is given to compare. */
const checksHere: readonly string[] = ['ramp', 'dwell', 'speed', 'chuck', 'bake']

/** `evenfilm check`: a spin program, the chuck and the bake against the limits of the tools. */
export const check: Verb = {
  name: 'check',
  summary: 'checks a spin program, chuck and bake against limits',
  operands: [],
  options: {
    segment: {
      value: '"3000 rpm, 1000 rpm/s, 30 s"',
      help: 'speed, ramp and time of a segment, in order',
      repeat: true,
    },
    ...substrateOptions,
    chuck: { value: 'MM', help: 'diameter of the chuck' },
    'max-speed': { value: 'RPM', help: 'the limit of your coater (6000, not confirmed)' },
    'max-ramp': { value: 'RPM/S', help: 'the steepest ramp of your coater' },
    'drying-time': { value: 'S', help: 'time at speed that your resist needs (10, not confirmed)' },
    bake: { value: '"100 degC, 60 s"', help: 'display temperature and time of the bake' },
    'max-bake': { value: 'DEGC', help: 'the limit of your hot plate (300, not confirmed)' },
    ramp: { value: 'inside|outside', help: 'whether the time of a segment includes its ramp (inside)' },
  },
  more: [
    'The program starts at 0 rpm. A limit that you give counts as confirmed. Each check is within (it may be',
    'with a warning), outside or not checked. Exit 1 where one is outside.',
  ].join('\n'),
  refusal: (problems) => ({ ok: false, segments: [], findings: [], problems }),
  async run(given) {
    const input = inputOf(given)
    if (!input.ok) return input
    const result = checkProgram(input.value)
    return good({
      exit: result.ok ? 0 : 1,
      json: result,
      text: words(input.value, result),
      // Behind the answer, so that a terminal ends with them and they do not push it away.
      reminders: cautions(),
    })
  },
}

function inputOf(given: Given): Answer<CheckInput> {
  const taking = taker(given)
  const { problems, take, number, word } = taking
  const segments = given.texts('segment').map((text, i) => take(segmentOf(text, i + 1)))
  const bakeText = given.text('bake')
  const bake = bakeText === null ? null : take(bakeOf(bakeText))
  const outline = outlineOf(given, taking)
  const chuckMm = number('chuck', { above: 0 }, null)
  const maxSpeed = number('max-speed', { above: 0 }, null)
  const maxBake = number('max-bake', { above: 0 }, null)
  const maxRamp = number('max-ramp', { above: 0 }, null)
  const dryingTime = number('drying-time', { above: 0 }, null)
  const ramp = word('ramp', ['inside', 'outside'], 'inside')
  if (problems.length > 0) return { ok: false, problems }
  if (segments.length === 0 && bake === null && chuckMm === null)
    return refuse('nothingToCheck', 'There is nothing to check. Give --segment, --bake or --chuck.')
  if (chuckMm !== null && outline === null)
    return refuse(
      'missingOption',
      'The chuck is compared with the substrate: give its --diameter, or --width and --height, too.',
    )
  return good({
    segments: segments as Segment[],
    coater: {
      maxSpeed: maxSpeed ?? usualCoater.maxSpeed,
      rampInside: ramp === 'inside',
      maxRamp,
      limitsConfirmed: maxSpeed !== null,
    },
    resist: dryingTime === null ? null : { ...studyDefaults.resistLimits, dryingTime },
    diameterMm: outline?.diameterMm ?? null,
    sidesMm: outline && sidesOf(outline),
    chuckMm,
    bake,
    hotPlate: {
      maxTemperature: maxBake ?? usualHotPlate.maxTemperature,
      limitsConfirmed: maxBake !== null,
    },
  })
}

/** Numbers with their units in brackets behind them; a number without a unit takes its place in the order. */
function quantities(text: string, units: Record<string, RegExp>): Record<string, number> | string {
  const names = Object.keys(units)
  const found: Record<string, number> = {}
  const parts = text.split(',').map((part) => part.trim())
  if (parts.length !== names.length) return `it needs ${names.length} numbers: ${names.join(', ')}`
  for (const [i, part] of parts.entries()) {
    const pieces = /^([+-]?[\d.]+(?:e[+-]?\d+)?)\s*(.*)$/i.exec(part)
    const number = parseNumber(pieces?.[1] ?? part, { decimal: 'point' })
    if (!pieces || !number.ok) return `‘${part}’ is no number`
    const unit = pieces[2] ?? ''
    const name = unit === '' ? names[i] : names.find((one) => units[one]?.test(unit))
    if (name === undefined) return `‘${unit}’ is no unit of ${names.join(', ')}`
    if (name in found) return `${name} stands there twice`
    found[name] = number.value
  }
  return found
}

/** A segment such as `3000 rpm, 1000 rpm/s, 30 s`; `place` counts from 1. */
function segmentOf(text: string, place: number): Answer<Segment> {
  const bad = (why: string) =>
    refuse('badSegment', `Segment ${place}, ‘${text}’: ${why}. Write it as 3000 rpm, 1000 rpm/s, 30 s.`, {
      column: 'segment',
    })
  const numbers = quantities(text, { speed: /^rpm$/i, ramp: /^rpm\/s$/i, time: /^s(ec)?$/i })
  if (typeof numbers === 'string') return bad(numbers)
  const { speed = 0, ramp = 0, time = 0 } = numbers
  if (speed < 0) return bad('the speed is negative')
  if (!(ramp > 0)) return bad('the ramp must be above 0')
  if (!(time >= 0)) return bad('the time is negative')
  return good({ rpm: speed, ramp, time })
}

/** A bake such as `100 degC, 60 s`. */
function bakeOf(text: string): Answer<{ temperature: number; time: number }> {
  const numbers = quantities(text, { temperature: /^(deg ?c|°c|c)$/i, time: /^s(ec)?$/i })
  const bad = (why: string) =>
    refuse('badBake', `The bake ‘${text}’: ${why}. Write it as 100 degC, 60 s.`, { column: 'bake' })
  if (typeof numbers === 'string') return bad(numbers)
  const { temperature = 0, time = 0 } = numbers
  if (temperature < -273.15) return bad('nothing is that cold')
  return time < 0 ? bad('the time is negative') : good({ temperature, time })
}

function words(input: CheckInput, result: ProgramCheck): string {
  const parts: string[] = []
  if (result.segments.length > 0)
    parts.push(
      printTable(
        [
          numeric('segment'),
          numeric('from rpm'),
          numeric('to rpm'),
          numeric('ramp rpm/s'),
          numeric('time s'),
          numeric('ramp time s'),
          numeric('at speed s'),
        ],
        result.segments.map((segment, i) => [
          String(i + 1),
          String(segment.from),
          String(segment.to),
          String(segment.ramp),
          String(segment.time),
          digits(segment.rampTime, 4),
          digits(segment.timeAtSpeed, 4),
        ]),
      ),
    )
  parts.push(
    printTable(
      ['check', 'is'],
      checkStates(input, result)
        .filter(({ code, state }) => checksHere.includes(code) || state !== 'not checked')
        .map((check) => [check.code, stateInWords(check)]),
    ),
  )
  const found = result.findings.map((finding) => `${finding.severity}: ${finding.message}`)
  if (found.length > 0) parts.push(found.join('\n'))
  return parts.join('\n\n')
}
