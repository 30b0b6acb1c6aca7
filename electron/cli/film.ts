import { readingStages } from '../../shared/contract/choices.ts'
import type { OtherStage } from '../../shared/contract/results/film.ts'
import type { ReadingStage } from '../../shared/contract/things.ts'
import { beadWarning } from '../../shared/film/bead-warning.ts'
import { ofStage } from '../../shared/film/reading-stage.ts'
import { isMeasurable, type Substrate, sizeInWords } from '../../shared/film/substrate.ts'
import { type FilmReading, summarizeFilm } from '../../shared/film/summarize.ts'
import { type Column, isCategorical } from '../../shared/model/table.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { withoutSummaries } from '../engine/files/summary-rows.ts'
import { convertUnit } from './convert-unit.ts'
import { exportColumns } from './export-columns.ts'
import { filmsOfStudy } from './film-study.ts'
import { filmText } from './film-tables.ts'
import { fileOptions, type Given, taker } from './options.ts'
import { outlineOf, substrateOptions } from './substrate-options.ts'
import { type FileTable, numbersOf, readTable } from './table-file.ts'
import type { Verb } from './verb.ts'

/** `evenfilm film`: mean, spread and shape of each substrate from readings by site. */
export const film: Verb = {
  name: 'film',
  summary: 'summarizes readings by site: mean, non-uniformity, shape',
  operands: ['FILE|STUDY'],
  options: {
    x: { value: 'COLUMN', help: 'position to the right, mm from the centre (x)' },
    y: { value: 'COLUMN', help: 'position up, mm from the centre (y)' },
    value: { value: 'COLUMN', help: 'the readings (thickness, or the one other column of numbers)' },
    by: { value: 'COLUMN', help: 'what tells substrates apart (all rows are one)' },
    ...substrateOptions,
    edge: { value: 'MM', help: 'edge exclusion (0)' },
    repeatability: { value: 'SD', help: 'of the gauge at one site, in the unit of the readings' },
    reload: { value: 'SD', help: 'of the gauge between loadings of one substrate, in the same unit' },
    calibration: { value: 'SHARE', help: 'its standard uncertainty, such as 0.003 or 0.3%' },
    after: {
      value: readingStages.join('|'),
      help: 'which readings count where a column ‘taken after’ names several stages (bake)',
    },
    data: { value: 'FILE', help: 'a database: the films of the study named in place of a file' },
    ...fileOptions,
  },
  more:
    'Where a column ‘repeat’ numbers several readings at a site, the value of the site is their mean. With --data the\n' +
    'films of a study are printed as they are kept, and where their scatter comes from.\n' +
    'Zero and negative readings and sites beyond the edge exclusion are left out, each with its reason, and so are\n' +
    'rows of the file that sum the others up (mean, std, min, max). Without the size of the substrate there is no\n' +
    'shape; that of a rectangle goes by the distance from its centre over half its diagonal.',
  async run(given) {
    if (given.has('data')) return filmsOfStudy(given)
    const taking = taker(given)
    const { problems, number, share, word } = taking
    const after = word('after', readingStages, 'bake')
    const outline = outlineOf(given, taking)
    const edge = number('edge', { atLeast: 0 }, 0)
    const gauge = {
      repeatability: number('repeatability', { atLeast: 0 }, null),
      reload: number('reload', { atLeast: 0 }, null),
      calibration: share('calibration', null),
    }
    if (problems.length > 0) return { ok: false, problems }
    const substrate: Substrate = outline
      ? { ...outline, edgeExclusionMm: edge }
      : { diameterMm: 1, edgeExclusionMm: 0 }
    if (!isMeasurable(substrate))
      return refuse(
        'badOption',
        `--edge ${edge}: an edge exclusion of ${edge} mm leaves nothing of ${sizeInWords(substrate)}.`,
        { column: 'edge' },
      )
    const file = readTable(given, withoutSummaries)
    if (!file.ok) return file
    const substrates = substratesOf(file.value, given, after)
    if (!substrates.ok) return substrates
    const { unit, sited, groups } = substrates.value
    const summaries = groups.map(({ id, readings, otherStages }) =>
      summarizeFilm({
        id,
        otherStages,
        // Without the size a position says nothing about the shape or the edge.
        readings: outline === null ? readings.map((one) => ({ ...one, x: null, y: null })) : readings,
        ...substrate,
        gauge,
      }),
    )
    const notes = file.value.notes
    if (sited && outline === null)
      notes.push(
        'Without --diameter, or --width and --height, there is no shape, no area-weighted mean and no edge exclusion.',
      )
    if (outline) notes.push(...beadNotes(groups, substrate))
    return good({ exit: 0, json: { substrates: summaries }, text: filmText(summaries, unit), notes })
  },
}

/** Where sites lie in the usual edge bead, each such thing once. */
function beadNotes(groups: Substrates['groups'], substrate: Substrate): string[] {
  const found = groups.flatMap(({ readings }) => {
    const places = readings.flatMap(({ x, y }) => (x === null || y === null ? [] : [{ x, y }]))
    return beadWarning(substrate, places, null) ?? []
  })
  return [...new Set(found)]
}

type Substrates = {
  unit: string
  sited: boolean
  groups: { id: string; readings: FilmReading[]; otherStages: OtherStage[] }[]
}

function substratesOf(file: FileTable, given: Given, after: ReadingStage): Answer<Substrates> {
  const x = positions(file, given.text('x'), 'x')
  if (!x.ok) return x
  const y = positions(file, given.text('y'), 'y')
  if (!y.ok) return y
  if ((x.value === null) !== (y.value === null))
    return refuse('unknownColumn', `A position needs both x and y; only ${x.value ? 'x' : 'y'} is there.`, {
      column: x.value ? 'y' : 'x',
    })
  const by = given.text('by')
  const group = by === null ? null : file.column(by)
  if (group !== null && !group.ok) return group
  const taken = [x.value?.name, y.value?.name, group?.value.name]
  const value = readingsColumn(file, given.text('value'), taken)
  if (!value.ok) return value
  const numbers = numbersOf(file, [value.value, ...(x.value && y.value ? [x.value, y.value] : [])])
  if (!numbers.ok) return numbers
  const [values = [], ...placed] = numbers.value
  const [xs, ys] = [x.value, y.value].map((column, k) => inMillimetres(column, placed[k]))
  if (xs === null || ys === null)
    return refuse('unknownUnit', 'Positions are in mm, cm, µm or in; no other unit is known for x and y.', {
      column: (xs === null ? x.value : y.value)?.name ?? 'x',
    })
  const exported = exportColumns(file)
  const cells = file.cells(value.value)
  const groups = new Map<string, (FilmReading & { takenAfter: ReadingStage | null })[]>()
  values.forEach((reading, i) => {
    if (exported.quantity && exported.quantity[i] !== exported.wanted) return
    const marked = exported.excluded?.[i]?.trim()
    const failed = `no reading${cells[i]?.trim() ? ` (‘${cells[i]?.trim()}’)` : ''}`
    const excluded = reading === null ? failed : marked || null
    const id = group === null ? file.name : String(group.value.values[i] ?? '')
    const list = groups.get(id) ?? []
    groups.set(id, list)
    list.push({
      row: file.rows[i] ?? 0,
      x: xs?.[i] ?? null,
      y: ys?.[i] ?? null,
      value: reading ?? 0,
      excluded,
      ...exported.howRead(i, xs?.[i] ?? null, ys?.[i] ?? null),
    })
  })
  if (groups.size === 0) return refuse('noReadings', 'No row of this file holds a reading.')
  return good({
    unit: value.value.unit ?? exported.unit,
    sited: x.value !== null,
    groups: [...groups].map(([id, readings]) => {
      const { counting, otherStages } = ofStage(readings, { targetAfter: exported.onlyStage ?? after })
      return { id, readings: counting, otherStages }
    }),
  })
}

/** Positions in mm, from the unit of their column; null where that unit is not known. */
function inMillimetres(column: Column | null, values: (number | null)[] | undefined) {
  if (!column || !values) return undefined
  const unit = column.unit ?? 'mm'
  if (convertUnit(1, unit, 'mm') === null) return null
  return values.map((value) => (value === null ? null : convertUnit(value, unit, 'mm')))
}

/** A column of positions: the one named, or the usual one where it is there. */
function positions(file: FileTable, named: string | null, usual: string): Answer<Column | null> {
  if (named !== null) return file.column(named)
  return good(file.table.columns.find((column) => column.name === usual) ?? null)
}

function readingsColumn(
  file: FileTable,
  named: string | null,
  taken: (string | undefined)[],
): Answer<Column> {
  if (named !== null) return file.column(named)
  const others = file.table.columns.filter((column) => !taken.includes(column.name))
  const thickness = others.find((column) => column.name.toLowerCase() === 'thickness')
  if (thickness) return good(thickness)
  const exported = others.find((column) => column.name === 'value')
  if (exported && others.some((column) => column.name === 'quantity')) return good(exported)
  const free = others.filter((column) => !isCategorical(column))
  const [only, second] = free
  if (only && !second) return good(only)
  return refuse(
    'missingOption',
    `Which column holds the readings? Say --value with one of ${others.map((column) => column.name).join(', ')}.`,
  )
}
