import { describe, expect, test } from 'vitest'
import { driedThickness, thinnedByFlow, thinnedLong } from '../../../shared/process/thinning.ts'

const liquid = { density: 1000, viscosity: 0.02 }
const micrometres = 1e-6
const relative = (found: number, expected: number) => Math.abs(found / expected - 1)

/**
 * Emslie, Bonner & Peck, J. Appl. Phys. 29 (1958) 858: h = h₀/√(1 + 4ρω²h₀²t/3η). Expected values computed
 * independently and by numerical integration of dh/dt = −(2ρω²/3η)h³, which agree to 1e-10.
 */
describe('thinning by flow', () => {
  test.each([
    [100, 1000, 30, 6.737031248516474, 6.752372371178296],
    [100, 3000, 30, 2.2502208749579897, 2.250790790392765],
    [100, 3000, 60, 1.5913478971147694, 1.591549430918953],
    [10, 3000, 30, 2.195856260056511, 2.250790790392765],
    [1, 3000, 30, 0.9138645018672004, 2.250790790392765],
  ])('from %d µm at %d rpm after %d s', (start, rpm, time, thickness, limit) => {
    const found = thinnedByFlow(liquid, { rpm, time, start: start * micrometres })
    expect(relative(found, thickness * micrometres)).toBeLessThan(1e-13)
    expect(relative(thinnedLong(liquid, { rpm, time }), limit * micrometres)).toBeLessThan(1e-13)
  })

  test('a film of 100 µm at 3000 rpm is half as thick after 0.045594532639052 s', () => {
    const spin = { rpm: 3000, time: 0.045594532639052, start: 100 * micrometres }
    expect(relative(thinnedByFlow(liquid, spin), 50 * micrometres)).toBeLessThan(1e-13)
  })

  test('in the long run thickness goes with 1/speed', () => {
    const at = (rpm: number) => thinnedLong(liquid, { rpm, time: 30 })
    expect(Math.log(at(4000) / at(1000)) / Math.log(4)).toBeCloseTo(-1, 12)
  })
})

/**
 * Meyerhofer, J. Appl. Phys. 49 (1978) 3993: flow until evaporation E takes away as much, then drying;
 * h = c·(3ηE/(2ρω²(1 − c)))^(1/3). The paper's scaling from memory, values by independent computation with
 * η = 0.02 Pa·s, ρ = 1000 kg/m³, c = 0.25, E = 1 µm/s at 3000 rpm.
 */
describe('the dried film', () => {
  const dried = (rpm: number, evaporation: number) =>
    driedThickness(liquid, { rpm, solids: 0.25, evaporation: evaporation * micrometres }) / micrometres

  test.each([
    [1000, 3.848347, 3.204454],
    [2000, 2.424307, 2.265891],
    [3000, 1.850092, 1.850092],
    [4000, 1.527218, 1.602227],
    [5000, 1.316116, 1.433075],
    [6000, 1.165485, 1.308213],
  ])('at %d rpm, with constant evaporation and with one that grows as √speed', (rpm, constant, growing) => {
    expect(dried(rpm, 1)).toBeCloseTo(constant, 6)
    expect(dried(rpm, Math.sqrt(rpm / 3000))).toBeCloseTo(growing, 6)
  })

  test('the exponents are −2/3 and −1/2', () => {
    expect(Math.log(dried(6000, 1) / dried(1000, 1)) / Math.log(6)).toBeCloseTo(-2 / 3, 12)
    const growing = (rpm: number) => dried(rpm, Math.sqrt(rpm / 3000))
    expect(Math.log(growing(6000) / growing(1000)) / Math.log(6)).toBeCloseTo(-1 / 2, 12)
  })
})
