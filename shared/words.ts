import { plainNumber, quantity } from './charts/format.ts'
import { readingStages } from './contract/choices.ts'
import type {
  DesignKind,
  FactorRole,
  NonUniformityFormula,
  ReadingStage,
  RunKind,
  Settings,
  SiteMapName,
  Study,
  SubstrateShape,
} from './contract/things.ts'
import { usualSpeedStep } from './study-defaults.ts'

/** Each formula of non-uniformity, short as it is printed beside every number, and long as it is chosen. */
export const formulaWords: Record<NonUniformityFormula, { short: string; long: string }> = {
  halfRangeOverMean: {
    short: '(max − min) / 2·mean',
    long: '(max − min) / (2 · mean): half the range over the mean',
  },
  halfRangeOverMidRange: {
    short: '(max − min) / (max + min)',
    long: '(max − min) / (max + min): half the range over the mid-range',
  },
  rangeOverMean: { short: '(max − min) / mean', long: '(max − min) / mean: the whole range over the mean' },
  halfRangeOverMaximum: {
    short: '(max − min) / 2·max',
    long: '(max − min) / (2 · max): half the range over the thickest site',
  },
  rangeOverMaximum: {
    short: '(max − min) / max',
    long: '(max − min) / max: the whole range over the thickest site',
  },
  standardDeviationOverMean: { short: 's / mean', long: 's / mean: standard deviation over the mean' },
  threeStandardDeviationsOverMean: {
    short: '3 s / mean',
    long: '3 s / mean: three standard deviations over the mean',
  },
  standardDeviationOfAllOverMean: {
    short: 's (n) / mean',
    long: 's / mean with n in place of n − 1 under the root',
  },
}

/** The step after which a film is read. */
export const readingStageWords: Record<ReadingStage, string> = {
  spin: 'spin',
  bake: 'bake',
  develop: 'development',
}
export const readingStageOptions = readingStages.map((value) => ({ value, label: readingStageWords[value] }))

/** How many sites and how they lie. */
export const siteMapWords: Record<SiteMapName, string> = {
  '5': '5 sites (centre + 4)',
  '9': '9 sites (1 + 4 + 4)',
  '9 ring': '9 sites, ring (1 + 8)',
  '13': '13 sites (1 + 4 + 8)',
  '17': '17 sites',
  '25': '25 sites',
  '49': '49 sites',
  '9 square': '9 sites, square (3 × 3)',
  '25 square': '25 sites, square (5 × 5)',
  '49 square': '49 sites, square (7 × 7)',
  '5 line': '5 sites on a line',
  '9 line': '9 sites on a line',
  '13 line': '13 sites on a line',
  '17 line': '17 sites on a line',
  '25 line': '25 sites on a line',
  own: 'Own map',
}

/** The site map of a study: a line with its direction, an own map by its name. */
export function mapInWords({
  siteMap,
  lineDirection,
  ownSites,
}: Pick<Study, 'siteMap' | 'lineDirection' | 'ownSites'>): string {
  if (siteMap === 'own') return `${ownSites?.sites.length ?? 0} sites (${ownSites?.name ?? 'own map'})`
  const words = siteMapWords[siteMap]
  return siteMap.endsWith('line') ? `${words} (at ${lineDirection}°)` : words
}

export const substrateShapeWords: Record<SubstrateShape, string> = {
  flat: 'Round with a flat',
  notch: 'Round with a notch',
  rectangle: 'Rectangular piece',
}

/** What a factor sets, with the unit and range that a new row starts with. */
export const roleWords: Record<
  FactorRole,
  { label: string; name: string; unit: string; low: number; high: number; step: number | null }
> = {
  speed: { label: 'Spin speed', name: 'speed', unit: 'rpm', low: 2000, high: 4500, step: usualSpeedStep },
  time: { label: 'Spin time', name: 'time', unit: 's', low: 20, high: 60, step: 1 },
  ramp: { label: 'Ramp', name: 'ramp', unit: 'rpm/s', low: 500, high: 2000, step: 50 },
  'bake temperature': {
    label: 'Bake temperature',
    name: 'bake',
    unit: '°C',
    low: 90,
    high: 110,
    step: 1,
  },
  'bake time': { label: 'Bake time', name: 'bake_time', unit: 's', low: 45, high: 90, step: 1 },
  lot: { label: 'Resist lot', name: 'lot', unit: '', low: 0, high: 1, step: null },
  other: { label: 'Other', name: 'factor', unit: '', low: 0, high: 1, step: null },
}

/** When to choose each kind of design, in one plain sentence. */
export const designKindWords: Record<DesignKind, { label: string; words: string }> = {
  full: {
    label: 'Full grid',
    words: 'Every combination of the levels: the surest picture, for two or three factors.',
  },
  fraction: {
    label: 'Fraction of a two-level grid',
    words: 'Finds which of many factors matter, with few runs; some effects cannot be told apart.',
  },
  composite: {
    label: 'Composite with star points',
    words: 'Maps a curved surface with fewer runs than a full grid of three levels.',
  },
  'box-behnken': {
    label: 'Edge midpoints',
    words: 'Maps a curved surface without the corners, where all factors are extreme at once.',
  },
  space: {
    label: 'Spread evenly',
    words: 'Fills the region evenly when little is known about the shape of the answer.',
  },
  optimal: {
    label: 'Made for a model',
    words:
      'The best runs for a model and a number of runs that you state, also where combinations are forbidden.',
  },
}

/** Kinds of runs, as tables show them. */
export const runKindWords: Record<RunKind, string> = {
  factorial: 'grid',
  centre: 'centre',
  star: 'star',
  edge: 'edge',
  space: 'spread',
  optimal: 'optimal',
  kept: 'kept',
  reference: 'reference',
  next: 'recommended',
  confirmation: 'confirmation',
  'by hand': 'by hand',
  imported: 'imported',
  monitor: 'monitor',
}

/** Count with its noun: 1 run, 18 runs. */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`
}

/** The settings of a run, each with the unit of its factor. */
export function shownSettings(
  settings: Settings,
  factors: Study['factors'],
): { name: string; value: string }[] {
  const units = new Map(factors.map(({ name, unit }) => [name, unit]))
  return Object.entries(settings).map(([name, value]) => ({
    name,
    value: quantity(typeof value === 'number' ? plainNumber(value) : value, units.get(name) ?? ''),
  }))
}
