import { describe, expect, test } from 'vitest'
import { profileChart } from '../../../shared/charts/profile-chart.ts'
import { fitShape } from '../../../shared/film/shape.ts'
import { plainTheme as theme } from './plain-theme.ts'

const radiusMm = 50
/** A film of known bowl, ring and wedge at places all over the wafer; without noise the fit gives it back. */
const film = (x: number, y: number) => {
  const [u, v] = [x / radiusMm, y / radiusMm]
  const square = u * u + v * v
  return 1500 * (1 + 0.01 * (2 * square - 1) + 0.002 * (6 * square ** 2 - 6 * square + 1) + 0.004 * u)
}
const places = Array.from({ length: 24 }, (_, k) => {
  const [r, angle] = [[0, 15, 30, 45][k % 4]!, k]
  return { x: r * Math.cos(angle), y: r * Math.sin(angle) }
})
const { shape } = fitShape(
  places.map(({ x, y }) => ({ x, y, value: film(x, y) })),
  radiusMm,
)
const sites = places.map(({ x, y }, k) => ({
  name: `site ${k + 1}`,
  xMm: x,
  yMm: y,
  value: film(x, y),
  excluded: k === 23 ? 'particle' : null,
}))
const chart = profileChart({ sites, shape, radiusMm, unit: 'nm', decimals: 1, theme })
const [profile, upper, lower, counted, left] = chart.config.data.datasets

describe('the radial profile', () => {
  test('its line is the film without its wedge', () => {
    for (const { x, y } of profile!.data) {
      const square = (x / radiusMm) ** 2
      const known = 1500 * (1 + 0.01 * (2 * square - 1) + 0.002 * (6 * square ** 2 - 6 * square + 1))
      expect(y / known).toBeCloseTo(1, 9)
    }
    expect(profile!.data.at(-1)!.x).toBe(radiusMm)
  })

  test('the wedge moves it by its share at the edge, to both sides', () => {
    const [edge, up, down] = [profile, upper, lower].map((set) => set!.data.at(-1)!.y) as [
      number,
      number,
      number,
    ]
    expect((up - edge) / 1500).toBeCloseTo(0.004, 9)
    expect((edge - down) / 1500).toBeCloseTo(0.004, 9)
  })

  test('each reading lies at its distance from the centre, what is left out hollow', () => {
    expect(counted!.data).toHaveLength(23)
    expect(counted!.data[1]!.x).toBeCloseTo(15, 9)
    expect(left!.data).toHaveLength(1)
    expect(left!.pointBackgroundColor).toBe(theme.ground)
    expect(chart.table.rows.some(([name]) => name === 'site 24 (left out)')).toBe(true)
  })

  test('without a shape there are the readings alone', () => {
    const nothing = { ...shape, bowl: null, ring: null, wedge: null, wedgeX: null, wedgeY: null }
    const bare = profileChart({ sites, shape: nothing, radiusMm, unit: 'nm', decimals: 1, theme })
    expect(bare.config.data.datasets[0]!.data).toEqual([])
  })
})
