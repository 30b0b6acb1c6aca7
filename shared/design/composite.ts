import type { DesignSettings, Factor } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { combinations, type DesignPoint } from './design-point.ts'
import type { DrawnDesign } from './drawn-design.ts'
import { type Generator, generatorText, parseGenerators } from './generators.ts'
import { fractionColumns, lettered, resolutionOf } from './two-level-fraction.ts'

/** Cubes of five factors and more are run as fractions of resolution V or better (Box & Hunter, 1957). */
const usualCube: Readonly<Record<number, string>> = {
  5: 'E=ABCD',
  6: 'F=ABCDE',
  7: 'G=ABCDEF',
  8: 'G=ABCD H=ABEF',
}

/**
 * How far star points stand out in units of the cube: `face` 1, `rotatable` the fourth root of the cube's runs,
 * `spherical` the square root of the number of factors (NIST/SEMATECH e-Handbook, 5.3.3.6.1).
 */
export function starDistance(
  star: NonNullable<DesignSettings['star']>,
  factors: number,
  cube: number,
): number {
  return star === 'face' ? 1 : star === 'rotatable' ? cube ** 0.25 : Math.sqrt(factors)
}

/**
 * A central composite: the cube of the two-level grid (or a fraction of it), then two star points a factor.
 * The star stands at −1 and +1 and the cube is drawn inward, so that no run leaves the factors' ranges. Each
 * combination of levels by name gets the whole composite.
 */
export function composite(factors: readonly Factor[], settings: DesignSettings): Answer<DrawnDesign> {
  const ranged = factors.flatMap((factor, f) => (factor.kind === 'continuous' ? [f] : []))
  if (ranged.length < 2)
    return refuse('tooFewFactors', 'A central composite needs at least two factors with a range.')
  const chosen = cubeGenerators(
    ranged.map((f) => factors[f] as Factor),
    settings,
  )
  if (!chosen.ok) return chosen
  const k = ranged.length
  const cubeRuns = 2 ** (k - chosen.value.length)
  const star = settings.star ?? 'face'
  const distance = starDistance(star, k, cubeRuns)
  const levels = combinations(
    factors.flatMap((factor) => (factor.kind === 'categorical' ? [factor.levelNames] : [])),
  )
  return good({
    size: levels.length * (cubeRuns + 2 * k),
    points: () =>
      levels.flatMap((names) => acrossLevels(factors, names, compositePoints(k, chosen.value, distance))),
    words: compositeWords(factors, ranged, chosen.value, star, distance),
  })
}

/** Puts points in the ranged factors together with one combination of levels by name. */
export function acrossLevels(
  factors: readonly Factor[],
  names: readonly string[],
  points: readonly DesignPoint[],
): DesignPoint[] {
  return points.map((point) => {
    let ranged = 0
    let named = 0
    return {
      kind: point.kind,
      coded: factors.map(
        (factor) =>
          (factor.kind === 'categorical' ? names[named++] : point.coded[ranged++]) as number | string,
      ),
    }
  })
}

function compositePoints(k: number, generators: readonly Generator[], distance: number): DesignPoint[] {
  const cube: DesignPoint[] = fractionColumns(k, generators).map((row) => ({
    kind: 'factorial',
    coded: row.map((sign) => sign / distance),
  }))
  const star: DesignPoint[] = Array.from({ length: 2 * k }, (_, i) => ({
    kind: 'star',
    coded: Array.from({ length: k }, (_, f) => (f === i >> 1 ? (i % 2 === 0 ? -1 : 1) : 0)),
  }))
  return [...cube, ...star]
}

function cubeGenerators(ranged: readonly Factor[], settings: DesignSettings): Answer<Generator[]> {
  if (settings.fraction !== undefined && settings.fraction.trim() !== '') {
    const parsed = parseGenerators(
      settings.fraction,
      ranged.map((factor) => factor.name),
    )
    if (parsed.ok && ranged.length - parsed.value.length < 2)
      return refuse('generator', 'A cube needs at least two factors that are not generated.', {
        column: 'fraction',
      })
    return parsed
  }
  const usual = usualCube[ranged.length]
  return good(usual === undefined ? [] : lettered(usual))
}

function compositeWords(
  factors: readonly Factor[],
  ranged: readonly number[],
  generators: readonly Generator[],
  star: string,
  distance: number,
): string {
  const names = ranged.map((f) => (factors[f] as Factor).name)
  const cube =
    generators.length === 0
      ? 'the whole cube'
      : `a 1/${2 ** generators.length} fraction of the cube (${generators
          .map((generator) => generatorText(generator, names))
          .join(', ')}; shortest word of ${resolutionOf(generators)})`
  const place =
    star === 'face'
      ? 'The star points stand on the faces of the cube, so each factor has three levels.'
      : `The star points stand at −1 and +1 and the cube is drawn inward to ±${(1 / distance).toFixed(3)}, ` +
        `so that no run leaves the ranges (star distance ${distance.toFixed(3)}, ${star}).`
  return `Central composite with ${cube}. ${place}`
}
