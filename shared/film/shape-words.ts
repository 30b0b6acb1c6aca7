import type { FilmShape } from '../contract/results/film.ts'

/** A share of the film below which a shape term is not worth a word: 0.1 %. */
const slight = 0.001

export type ShapeLine = { term: string; share: number | null; words: string }

/** The shape of a film in numbers (fractions of the mean) and words, such as ‘bowl: edge thicker’. */
export function shapeLines(shape: FilmShape): ShapeLine[] {
  return [
    {
      term: 'Bowl',
      share: shape.bowl,
      words: sided(shape.bowl, 'bowl: edge thicker than centre', 'dome: centre thicker than edge'),
    },
    {
      term: 'Ring',
      share: shape.ring,
      words: sided(shape.ring, 'thin at mid radius', 'thick at mid radius'),
    },
    {
      term: 'Wedge',
      share: shape.wedge,
      words:
        shape.wedge === null || shape.wedge < slight
          ? sided(shape.wedge, '', '')
          : `thick towards the ${sideOf(shape.wedgeDirection ?? 0)} (${Math.round(shape.wedgeDirection ?? 0)}° from the right)`,
    },
    {
      term: 'Rest',
      share: shape.rest,
      words: shape.rest === null ? 'too few sites' : 'what no shape explains',
    },
  ]
}

function sided(share: number | null, above: string, below: string): string {
  if (share === null) return 'the sites read do not tell'
  if (Math.abs(share) < slight) return 'hardly any'
  return share > 0 ? above : below
}

const sides = ['right', 'top right', 'top', 'top left', 'left', 'bottom left', 'bottom', 'bottom right']

/** Which side of the map a direction points to, degrees counter-clockwise from the right. */
export function sideOf(degrees: number): string {
  return sides[Math.round((((degrees % 360) + 360) % 360) / 45) % 8]!
}

/** The shape in one sentence, for reading at arm's length. */
export function shapeSentence(shape: FilmShape): string {
  const strong = shapeLines(shape).filter(
    ({ term, share }) => term !== 'Rest' && share !== null && Math.abs(share) >= slight,
  )
  if (shape.bowl === null && shape.wedge === null) return 'More sites are needed to tell a shape.'
  if (strong.length === 0) return 'Flat: no shape term reaches 0.1 %.'
  const greatest = strong.reduce((a, b) => (Math.abs(b.share!) > Math.abs(a.share!) ? b : a))
  const words =
    greatest.term === 'Bowl' ? greatest.words : `${greatest.term.toLowerCase()}: ${greatest.words}`
  return `Mostly ${words}.`
}

/** What may lie behind the strongest shape of a film; common practice, no source. */
export function worthChecking(shape: FilmShape): string[] {
  const sizes = { bowl: shape.bowl ?? 0, ring: shape.ring ?? 0, wedge: shape.wedge ?? 0 }
  const [[name, share]] = Object.entries(sizes).sort((a, b) => Math.abs(b[1]) - Math.abs(a[1])) as [
    [keyof typeof sizes, number],
  ]
  if (Math.abs(share) < slight) return []
  if (name === 'wedge')
    return [
      'dispense or substrate off the centre of the chuck',
      'exhaust stronger on one side of the bowl',
      'slope of the hot plate, or a substrate not flat on its pins',
    ]
  if (name === 'ring')
    return [
      'spin too short: the film was still thinning',
      'where the puddle stopped before the spin',
      'the vacuum ring of the chuck, which cools or warms the film',
    ]
  return share > 0
    ? [
        'speed high for this solvent: the edge dries first',
        'strong exhaust or dry air',
        'substrate or air too warm, or a long wait before the ramp',
      ]
    : ['speed low or spin short', 'a slow ramp', 'resist drying before it has spread']
}
