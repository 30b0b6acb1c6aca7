import { expect, test } from 'vitest'
import { paperTheme } from '../../../shared/report/paper-theme.ts'
import { mapKey, waferMap } from '../../../shared/report/wafer-map.ts'

const substrate = {
  diameterMm: 100,
  substrateShape: 'flat' as const,
  widthMm: null,
  heightMm: null,
  edgeExclusionMm: 6,
}
const looks = { unit: 'nm', decimals: 1, theme: paperTheme }
const sites = (values: (number | null)[]) =>
  values.map((value, i) => ({
    site: i + 1,
    xMm: i === 0 ? 0 : 44 * Math.cos((i * Math.PI) / 2),
    yMm: i === 0 ? 0 : 44 * Math.sin((i * Math.PI) / 2),
    value,
    excluded: i === 4 ? 'a comet' : null,
  }))
const fills = (map: string) => [...map.matchAll(/<circle [^>]*fill="([^"]+)"/g)].map((match) => match[1])

test('equal readings have equal colours on maps of one scale, whatever else is on the map', () => {
  const draw = (values: (number | null)[], name: string) =>
    waferMap(sites(values), { ...looks, span: [1400, 1600], substrate, name, title: name }).markup
  const [a, b] = [draw([1500, 1400, 1450, 1420, 1410], 'a'), draw([1500, 1600, 1590, 1580, 1570], 'b')]
  expect(fills(a)[0]).toBe(fills(b)[0])
  expect(fills(a)[1]).not.toBe(fills(b)[1])
  // What is left out has no colour, and its reason stands in its title.
  expect(fills(a)[4]).toBe(paperTheme.ground)
  expect(a).toContain('site 5: 1410.0 nm (left out: a comet)')
  expect(a).toContain('<title>a: 4 of 5 sites read</title>')
})

test('no film is drawn between fewer than four readings', () => {
  const bands = (values: (number | null)[]) =>
    waferMap(sites(values), { ...looks, span: [1400, 1600], substrate, name: 'm', title: 'm' }).markup.match(
      /fill-rule="evenodd"/g,
    )
  expect(bands([1500, 1520, 1540, null, null])).toBeNull()
  expect(bands([1500, 1520, 1540, 1560, null])?.length).toBeGreaterThan(2)
})

test('the key names both ends of the scale; one number needs none', () => {
  expect(mapKey({ ...looks, span: [1400, 1600] })?.markup).toContain(
    'from 1400.0 (dark) to 1600.0 nm (light)',
  )
  expect(mapKey({ ...looks, span: [1500, 1500] })).toBeNull()
})
