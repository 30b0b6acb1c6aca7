import type { Factor } from '../contract/things.ts'
import { partOf } from './block-contrasts.ts'
import { combinations, type DesignPoint } from './design-point.ts'

/**
 * Centre points: every continuous factor at coded 0. A categorical factor has no middle, so the points go
 * round its levels in turn, in standard order of all combinations: as balanced as their number allows.
 */
export function centrePoints(factors: readonly Factor[], count: number): DesignPoint[] {
  const places = combinations<number | string>(
    factors.map((factor) => (factor.kind === 'categorical' ? factor.levelNames : [0])),
  )
  return Array.from({ length: count }, (_, i) => ({
    kind: 'centre',
    coded: places[i % places.length] as (number | string)[],
  }))
}

/**
 * `count` of the places 0 … `length` − 1: first, last and evenly between (NIST/SEMATECH e-Handbook, 5.3.3.7).
 * A single one is the first.
 */
export function evenPlaces(count: number, length: number): number[] {
  if (count <= 1) return count === 1 ? [0] : []
  return Array.from({ length: count }, (_, i) => Math.round((i * (length - 1)) / (count - 1)))
}

/** The part, from 0, of each of `count` guests among parts in a row: first, last and evenly between. */
export function partsOfGuests(count: number, parts: number): number[] {
  return count <= parts
    ? evenPlaces(count, parts)
    : Array.from({ length: count }, (_, i) => partOf(i, count, parts))
}

/** Puts `guests` among `hosts`: first, last and evenly between, both in their given order. */
export function spreadAmong<T>(hosts: readonly T[], guests: readonly T[]): T[] {
  const length = hosts.length + guests.length
  const taken = new Set(evenPlaces(guests.length, length))
  let host = 0
  let guest = 0
  return Array.from({ length }, (_, i) => (taken.has(i) ? guests[guest++] : hosts[host++]) as T)
}
