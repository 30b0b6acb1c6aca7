import { sessionInWords } from '../process/session-words.ts'
import type { Look, RecordedRow } from './look.ts'

/** What a row is called: `noun` of `owner` for several of them, `short` to tell it from these. */
export type Thing = { words: string; noun: string; owner: string; short: string }

const text = (value: unknown) => String(value ?? '')
const quoted = (value: unknown) => (text(value) === '' ? '' : ` ‘${text(value)}’`)

/** The thing that a row of a table is. */
export function thingOf(table: string, row: RecordedRow, look: Look): Thing {
  const found = things[table]?.(row, look) ?? { words: table }
  return { noun: found.words, owner: '', short: '', ...found }
}

/** The name by which another thing refers to a row. */
export function nameOf(table: string, id: string, look: Look): string {
  const row = look.row(table, id)
  if (!row) return 'one that is no more'
  if (table === 'recipe') return `${text(row.name)}, version ${text(row.version)}`
  return text(row.code ?? row.name ?? row.title)
}

const ofRun = (id: unknown, look: Look) => nameOf('run', text(id), look)

/** Where on its substrate a reading was taken. */
function placeOf({ site, xMm, yMm, repeat }: RecordedRow): string {
  const place =
    site !== null && site !== undefined
      ? `site ${text(site)}`
      : xMm !== null && xMm !== undefined
        ? `(${text(xMm)}, ${text(yMm)}) mm`
        : ''
  return Number(repeat) > 1 ? `${place}${place ? ', ' : ''}repeat ${text(repeat)}` : place
}

function readingThing(row: RecordedRow, look: Look) {
  const owner = ofRun(row.runId, look)
  const place = placeOf(row)
  return { words: `reading${place ? ` at ${place}` : ''} of ${owner}`, noun: 'reading', owner, short: place }
}

function ofReading(row: RecordedRow, look: Look) {
  const reading = look.row('reading', text(row.readingId))
  return reading ? readingThing(reading, look) : { words: 'reading' }
}

function named(noun: string) {
  return (row: RecordedRow) => ({ words: `${noun}${quoted(row.name)}`, noun, short: text(row.name) })
}

const things: Record<string, (row: RecordedRow, look: Look) => Partial<Thing> & { words: string }> = {
  coater: named('coater'),
  hotPlate: named('hot plate'),
  gauge: named('gauge'),
  checkStandard: named('check standard'),
  bottle: named('bottle'),
  mapping: named('kept mapping'),
  gaugeStudy: ({ gaugeId }, look) => ({
    words: `gauge study of ‘${nameOf('gauge', text(gaugeId), look)}’`,
    noun: 'gauge study',
  }),
  gaugeReading(row, look) {
    const study = look.row('gaugeStudy', text(row.gaugeStudyId))
    const name = (list: unknown, place: unknown) => {
      const names = JSON.parse(text(list) || '[]') as string[]
      return names[Number(place) - 1] ?? text(place)
    }
    const wafer = name(study?.wafers, row.wafer)
    const short = `wafer ${wafer}, ${name(study?.operators, row.operator)}, load ${text(row.reload)}, scan ${text(row.scan)}`
    return { words: `reading of the gauge study: ${short}`, noun: 'reading', owner: 'the gauge study', short }
  },
  checkReading(row, look) {
    const owner = `check standard ‘${nameOf('checkStandard', text(row.standardId), look)}’`
    return { words: `reading of ${owner} on ${text(row.day)}`, noun: 'reading', owner, short: text(row.day) }
  },
  substrate: ({ code }) => ({ words: `substrate ${text(code)}`, noun: 'substrate', short: text(code) }),
  study: () => ({ words: 'study' }),
  factor: ({ name }) => ({ words: `factor ${text(name)}`, noun: 'factor', short: text(name) }),
  stage: ({ title }) => ({ words: `stage${quoted(title)}`, noun: 'stage', short: text(title) }),
  recipe: ({ name, version }) => ({
    words: `recipe${quoted(name)}, version ${text(version)}`,
    noun: 'recipe',
    short: text(name),
  }),
  run: ({ code }) => ({ words: `run ${text(code)}`, noun: 'run', short: text(code) }),
  session: ({ name }) => ({ words: sessionInWords(text(name)), noun: 'session', short: text(name) }),
  event(row, look) {
    const of =
      typeof row.bottleId === 'string'
        ? ` of bottle ‘${nameOf('bottle', row.bottleId, look)}’`
        : typeof row.substrateId === 'string'
          ? ` of substrate ${nameOf('substrate', row.substrateId, look)}`
          : ''
    return { words: `event ‘${text(row.kind)}’${of}`, noun: 'event', short: text(row.kind) }
  },
  report: () => ({ words: 'report' }),
  driftChoice: ({ id }, look) => ({ words: `watch on recipe ‘${nameOf('recipe', text(id), look)}’` }),
  plateVisit: ({ number }) => ({
    words: `plate visit ${text(number)}`,
    noun: 'plate visit',
    short: text(number),
  }),
  import: ({ fileName }) => ({
    words: `import of ‘${text(fileName)}’`,
    noun: 'import',
    short: text(fileName),
  }),
  reading: readingThing,
  exclusion: ofReading,
  readingTrace: ofReading,
  trace(row, look) {
    const owner = ofRun(row.runId, look)
    return { words: `scan${quoted(row.name)} of ${owner}`, noun: 'scan', owner, short: text(row.name) }
  },
  prediction: (row, look) => ({
    words: row.runId === null ? 'prediction' : `prediction for ${ofRun(row.runId, look)}`,
    noun: 'prediction',
  }),
  lotDecision: ({ lot, against }) => ({
    words: `decision on lot ${text(lot)} against ${text(against)}`,
    noun: 'decision',
  }),
  confirmation: () => ({ words: 'confirmation' }),
  database: () => ({ words: 'database' }),
}
