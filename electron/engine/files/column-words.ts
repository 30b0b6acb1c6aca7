import type { ColumnMeaning } from './column-meaning.ts'

export type { ColumnMeaning }

type Meaning = ColumnMeaning['means']

/** Headers by meaning, as {@link plainName} writes them. */
const headersOf: Partial<Record<Meaning, string[]>> = {
  run: [
    'run',
    'runid',
    'runcode',
    'wafer',
    'waferno',
    'waferid',
    'wafernumber',
    'substrate',
    'substrateid',
    'sample',
  ],
  site: ['site', 'siteno', 'sitenumber', 'point', 'pointno', 'pt'],
  repeat: ['repeat', 'repeatno', 'repeatnumber', 'repetition'],
  'taken after': ['takenafter', 'readafter', 'measuredafter'],
  'optical index': ['opticalindex', 'refractiveindex', 'indexofrefraction'],
  radius: ['r', 'radius', 'rpos', 'radialposition'],
  angle: ['theta', 'θ', 'angle', 'phi', 'azimuth'],
  x: ['x', 'xmm', 'xpos', 'xposition', 'xcoordinate'],
  y: ['y', 'ymm', 'ypos', 'yposition', 'ycoordinate'],
  lot: ['lot', 'resistlot', 'batch', 'resistbatch'],
  session: ['session', 'day', 'date'],
  block: ['block'],
  'plate visit': ['platevisit'],
  stage: ['stage'],
  'run order': ['runorder'],
  'standard order': ['standardorder'],
  kind: ['kind'],
  state: ['state'],
  note: ['note', 'notes', 'remark', 'remarks', 'comment', 'comments'],
  'typed text': ['typedtext'],
  'typed unit': ['typedunit'],
  unit: ['unit', 'units'],
  'read at': ['readat'],
  quantity: ['quantity'],
  excluded: ['excluded'],
  'run excluded': ['runexcluded'],
  substrate: ['substratecode'],
  'coated at': ['coatedat'],
  steps: ['steps'],
  'steps done': ['stepsdone'],
  ignored: ['gof', 'goodnessoffit', 'fit', 'scan', 'scanno', 'scannumber', 'simulated'],
}

/** The meaning of a header by its words. */
export const meaningByWord: ReadonlyMap<string, Meaning> = new Map(
  Object.entries(headersOf).flatMap(([means, headers]) =>
    headers.map((header) => [header, means as Meaning] as const),
  ),
)

const texts = new Set<Meaning>([
  'run',
  'lot',
  'session',
  'stage',
  'kind',
  'state',
  'note',
  'typed text',
  'typed unit',
  'unit',
  'read at',
  'taken after',
  'quantity',
  'excluded',
  'run excluded',
  'coated at',
  'substrate',
  'steps',
  'steps done',
])

/** Whether a column is one of words even where its cells look like numbers. */
export function isTextHeader(name: string): boolean {
  const plain = plainName(name)
  if (/^actual(operator|deviation)$/.test(plain) || plain === 'defect') return true
  const meaning = meaningByWord.get(plain)
  return meaning !== undefined && texts.has(meaning)
}

const ofWholeTables: readonly Meaning[] = [
  'run',
  'lot',
  'session',
  'note',
  'unit',
  'quantity',
  'plate visit',
  'block',
  'taken after',
  'optical index',
]

/** The meaning of a line above a table by its key, or null where it says nothing of a run or its readings. */
export function columnOfBlock(key: string): Meaning | null {
  const means = meaningByWord.get(plainName(key))
  return means !== undefined && ofWholeTables.includes(means) ? means : null
}

/** Names of a film thickness; all of them are kept as `thickness`. */
export const isThickness = (plain: string): boolean =>
  /^(t|thk|thickness|film|filmthickness|resistthickness|meanthickness|thicknessmean)$/.test(plain)

/** Names of the number that was read, where a row is one site. */
export const isReading = (plain: string): boolean =>
  isThickness(plain) || /^(value|reading|height|step|stepheight|result|measurement)$/.test(plain)

/** Whether a header is one that the program knows, whatever it means. */
export const isKnownHeader = (plain: string): boolean => meaningByWord.has(plain) || isReading(plain)

/** Names of what is measured rather than set. */
export const isResponse = (plain: string): boolean =>
  /thickness|uniformity|stress|roughness|reflect|refractive|yield|defect|adhesion|haze|response|^mean|^std|^range/.test(
    plain,
  )

/** The number of a site column: `T1`, `site 3`, `p12`, or the number alone; null where it is none. */
export function wideSite(plain: string): number | null {
  const found = /^(?:t|s|p|site|point|pt|thickness|thk)?(\d{1,3})$/.exec(plain)
  return found ? Number(found[1]) : null
}

/** A header without blanks, signs and capitals. */
export const plainName = (name: string): string => name.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '')
