import type { FactorRole, NonUniformityFormula, SiteMapName } from '../shared/contract/things.ts'

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
  standardDeviationOverMean: { short: 's / mean', long: 's / mean: standard deviation over the mean' },
  threeStandardDeviationsOverMean: {
    short: '3 s / mean',
    long: '3 s / mean: three standard deviations over the mean',
  },
}

/** How many sites and how they lie. */
export const siteMapWords: Record<SiteMapName, string> = {
  '5': '5 sites (centre + 4)',
  '9': '9 sites (1 + 4 + 4)',
  '9 ring': '9 sites, ring (1 + 8)',
  '13': '13 sites (1 + 4 + 8)',
  '17': '17 sites',
  '25': '25 sites',
  '49': '49 sites',
}

/** What a factor sets, with the unit and range that a new row starts with. */
export const roleWords: Record<
  FactorRole,
  { label: string; name: string; unit: string; low: number; high: number; step: number | null }
> = {
  speed: { label: 'Spin speed', name: 'speed', unit: 'rpm', low: 2000, high: 4500, step: 10 },
  time: { label: 'Time of the main segment', name: 'time', unit: 's', low: 20, high: 60, step: 1 },
  ramp: { label: 'Ramp to the main segment', name: 'ramp', unit: 'rpm/s', low: 500, high: 2000, step: 50 },
  'bake temperature': {
    label: 'Bake temperature (display)',
    name: 'bake',
    unit: '°C',
    low: 90,
    high: 110,
    step: 1,
  },
  'bake time': { label: 'Bake time', name: 'bake_time', unit: 's', low: 45, high: 90, step: 1 },
  lot: { label: 'Resist lot', name: 'lot', unit: '', low: 0, high: 1, step: null },
  other: { label: 'Something else', name: 'factor', unit: '', low: 0, high: 1, step: null },
}
