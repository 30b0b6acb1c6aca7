import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import type { BenchFigures } from '../../../shared/process/budget.ts'

/** A continuous factor from −1 to +1 unless told otherwise. */
export function continuous(name: string, change: Partial<Factor> = {}): Factor {
  return {
    name,
    role: 'other',
    unit: '',
    kind: 'continuous',
    low: -1,
    high: 1,
    levels: 2,
    levelNames: [],
    step: null,
    scale: 'linear',
    hardToChange: false,
    ...change,
  }
}

export function categorical(name: string, levelNames: string[], change: Partial<Factor> = {}): Factor {
  return { ...continuous(name), kind: 'categorical', low: null, high: null, levelNames, ...change }
}

export const speed = continuous('speed', { role: 'speed', unit: 'rpm', low: 2000, high: 4500, scale: 'log' })
export const time = continuous('time', { role: 'time', unit: 's', low: 20, high: 60 })
export const bake = continuous('bake', {
  role: 'bake temperature',
  unit: '°C',
  low: 90,
  high: 110,
  levels: 3,
  hardToChange: true,
})

export const bench: BenchFigures = {
  coatMl: 3.5,
  purgeMl: 15,
  dummies: 2,
  spares: 5,
  coatMinutes: 6,
  readMinutes: 4,
  siteMap: '9',
  slotHours: null,
  bottleMl: null,
  plateAtStart: 'set beforehand',
  holdBakeTemperature: 100,
  hotPlate: { heatRate: 6, coolRate: 1.5, soak: 10 },
}

export function fullDesign(change: Partial<DesignSettings> = {}): DesignSettings {
  return { kind: 'full', replicates: 1, centre: 0, blocks: 1, seed: 7, sigma: null, power: 0.8, ...change }
}
