import { expect, test } from 'vitest'
import { cividis } from '../../../shared/charts/colour-scale.ts'
import { filmBands } from '../../../shared/charts/film-bands.ts'
import { mapsAsSvg } from '../../../shared/charts/map-svg.ts'
import { mapTable } from '../../../shared/charts/map-table.ts'
import type { MapSite } from '../../../shared/charts/wafer-marks.ts'
import { filmSurface } from '../../../shared/film/film-surface.ts'
import { plainTheme } from './plain-theme.ts'

const substrate = {
  diameterMm: 100,
  substrateShape: 'flat' as const,
  widthMm: null,
  heightMm: null,
  edgeExclusionMm: 6,
}
const looks = { substrate, unit: 'nm', decimals: 1, columns: 61 }
const svgOf = (maps: Parameters<typeof mapsAsSvg>[0]) =>
  mapsAsSvg(maps, { ...looks, theme: plainTheme, ground: '#ffffff', label: 'maps' })

/** A film that is thicker towards +x by 1 nm/mm, read on a square lattice 11 mm apart. */
const tilted: MapSite[] = Array.from({ length: 49 }, (_, k) => {
  const [xMm, yMm] = [((k % 7) - 3) * 11, (Math.floor(k / 7) - 3) * 11]
  return { site: k + 1, xMm, yMm, value: 1000 + xMm, excluded: null }
})
const five: MapSite[] = [
  { site: 1, xMm: 0, yMm: 0, value: 1500.04, excluded: null },
  { site: 2, xMm: 40, yMm: 0, value: 1510, excluded: null, unsaved: true },
  { site: 3, xMm: 0, yMm: 40, value: 1490, excluded: 'a comet' },
  { site: 4, xMm: -40, yMm: 0, value: null, excluded: null },
  { site: null, xMm: 0, yMm: -40.26, value: 1495, excluded: null },
]

test('the table of a map holds what its marks show: site, place with its unit, value, and what is left out', () => {
  expect(mapTable([{ name: null, sites: five }], looks)).toEqual({
    columns: ['Site', 'x (mm)', 'y (mm)', 'Thickness (nm)', 'Note'],
    rows: [
      ['1', '0.0', '0.0', '1500.0', ''],
      ['2', '40.0', '0.0', '1510.0', 'not saved yet'],
      ['3', '0.0', '40.0', '1490.0', 'left out: a comet'],
      ['4', '−40.0', '0.0', '–', 'not read'],
      ['–', '0.0', '−40.3', '1495.0', ''],
    ],
  })
  const { columns, rows } = mapTable(
    [
      { name: 'W01', sites: five.slice(0, 1) },
      { name: 'W02', sites: five.slice(1, 2) },
    ],
    looks,
  )
  expect(columns[0]).toBe('Run')
  expect(rows.map((row) => row.slice(0, 2))).toEqual([
    ['W01', '1'],
    ['W02', '2'],
  ])
})

test('the picture has each site at its place, y downwards, with the value of the table', () => {
  const { svg } = svgOf([{ name: 'W01', sites: five }])
  const circles = [...svg.matchAll(/<circle cx="([^"]+)" cy="([^"]+)"/g)].map(([, x, y]) => [
    Number(x),
    Number(y),
  ])
  expect(circles).toEqual(five.map(({ xMm, yMm }) => [xMm, yMm === 0 ? -0 : -yMm].map((mm) => mm + 0)))
  const values = [...svg.matchAll(/>(\d{4}\.\d)<\/text>/g)].map((match) => match[1])
  expect(values.slice(0, 4)).toEqual(['1500.0', '1510.0', '1490.0', '1495.0'])
})

test('several maps have one scale, one key and a name each', () => {
  const shifted = five.map((site) => ({ ...site, value: site.value === null ? null : site.value + 100 }))
  const { svg, width, height } = svgOf([
    { name: 'W01', sites: five },
    { name: 'W02 <b>', sites: shifted },
  ])
  expect([width, height]).toEqual([740, 344])
  expect(svg).toContain('>W01<')
  expect(svg).toContain('>W02 &lt;b&gt;<')
  // The key runs over both: from 1495 to 1610 nm.
  const ticks = [...svg.matchAll(/text-anchor="start"[^>]*>([\d.]+)</g)].map((match) => Number(match[1]))
  expect(Math.min(...ticks)).toBeGreaterThanOrEqual(1495)
  expect(Math.max(...ticks)).toBeLessThanOrEqual(1610)
  expect(Math.max(...ticks)).toBeGreaterThan(1510)
})

test('a contour of a tilted film is written where the film has its level', () => {
  const { labels, bands } = filmBands(tilted, {
    outline: substrate,
    span: [967, 1033],
    colour: cividis,
    columns: 121,
  })
  expect(labels.length).toBeGreaterThanOrEqual(3)
  const read = tilted.map(({ xMm, yMm, value }) => ({ xMm, yMm, value: value as number }))
  const surface = filmSurface(read, [100, 100], 121)
  for (const { level, x, y } of labels) {
    // The samples of the surface about the label lie on both sides of its level.
    const [i, j] = [(x / 100 + 0.5) * 120, (-y / 100 + 0.5) * 120]
    const about = [Math.floor(i), Math.ceil(i)].flatMap((column) =>
      [Math.floor(j), Math.ceil(j)].map((row) => surface[row * 121 + column] as number),
    )
    expect(Math.min(...about)).toBeLessThanOrEqual(level + 1e-9)
    expect(Math.max(...about)).toBeGreaterThanOrEqual(level - 1e-9)
    expect(tilted.every(({ xMm, yMm }) => Math.hypot(xMm - x, -yMm - y) > 5)).toBe(true)
    // It stands on a vertex of its own contour.
    const own = bands.find((band) => band.level === level)?.path ?? ''
    expect(own).toContain(`${Number(x.toFixed(2))} ${Number(y.toFixed(2))}`)
  }
})

test('levels are written only where the marks are too small for their values', () => {
  const levels = (sites: MapSite[]) => [...svgOf([{ name: '', sites }]).svg.matchAll(/paint-order/g)].length
  expect(levels(five)).toBe(0)
  expect(levels(tilted)).toBeGreaterThanOrEqual(3)
})
