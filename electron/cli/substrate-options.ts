import { type Outline, radiusOf } from '../../shared/film/substrate.ts'
import { refuse } from '../../shared/problem.ts'
import { type Given, type OptionSpecs, strayOption, type Taker } from './options.ts'

/** The size of a substrate: round, or a rectangle. */
export const substrateOptions: OptionSpecs = {
  diameter: { value: 'MM', help: 'diameter of a round substrate' },
  width: { value: 'MM', help: 'of a rectangular substrate, with --height; x runs along it' },
  height: { value: 'MM', help: 'of a rectangular substrate, with --width; y runs along it' },
}

/** The substrate whose size is given, or null where none is; what is wrong goes to the taker. */
export function outlineOf(given: Given, { number, take }: Taker): Outline | null {
  take(strayOption(given, { width: 'height', height: 'width' }))
  if (given.has('width') && given.has('diameter'))
    take(
      refuse('badOption', '--diameter is of a round substrate, --width and --height are of a rectangle.', {
        column: 'diameter',
      }),
    )
  const diameterMm = number('diameter', { above: 0 }, null)
  const widthMm = number('width', { above: 0 }, null)
  const heightMm = number('height', { above: 0 }, null)
  if (widthMm === null || heightMm === null) return diameterMm === null ? null : { diameterMm }
  const piece = { substrateShape: 'rectangle', diameterMm: 1, widthMm, heightMm } as const
  return { ...piece, diameterMm: 2 * radiusOf(piece) }
}
