import { plainNumber } from '../charts/format.ts'
import type { Actual } from '../contract/things.ts'

type Quantity = { [K in keyof Actual]-?: NonNullable<Actual[K]> extends number ? K : never }[keyof Actual]

/** How each number is said, where the unit alone does not tell what it is. */
const said: Record<Quantity, (value: string) => string> = {
  speed: (value) => `${value} rpm`,
  ramp: (value) => `${value} rpm/s`,
  time: (value) => `spun ${value} s`,
  bakeDisplay: (value) => `display ${value} °C`,
  bakeSurface: (value) => `surface ${value} °C`,
  bakeTime: (value) => `baked ${value} s`,
  roomTemperature: (value) => `room ${value} °C`,
  humidity: (value) => `${value} %RH`,
  minutesSinceSet: (value) => `${value} min since the plate was set`,
  waferSinceClean: (value) => `wafer ${value} since the bowl was cleaned`,
}

/** What really happened to a run, in words; empty where nothing was recorded. Who did it is no difference. */
export function actualInWords(actual: Actual): string {
  const numbers = (Object.keys(said) as Quantity[]).flatMap((name) => {
    const value = actual[name]
    return value === undefined ? [] : [said[name](plainNumber(value))]
  })
  return [
    ...numbers,
    ...(actual.lidOpen ? ['lid open'] : []),
    ...(actual.deviation ? [actual.deviation] : []),
  ].join(', ')
}
