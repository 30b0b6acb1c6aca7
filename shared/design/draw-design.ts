import type { DesignKind, DesignSettings, Factor } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import type { Random } from '../random.ts'
import { boxBehnken } from './box-behnken.ts'
import { settle } from './code.ts'
import { composite } from './composite.ts'
import type { DesignTerm, Place } from './design-terms.ts'
import type { DrawnDesign } from './drawn-design.ts'
import { type Forbidden, nothingForbidden } from './forbid.ts'
import { fullFactorial, gridSize } from './full-factorial.ts'
import { optimal } from './optimal.ts'
import { ownFields } from './own-fields.ts'
import { spaceFilling } from './space-filling.ts'
import { twoLevelFraction } from './two-level-fraction.ts'

/** Whether the usual model of a kind of design has the square of a factor. */
export function curvedIn(kind: DesignKind): (factor: Factor) => boolean {
  switch (kind) {
    case 'full':
    case 'optimal':
      return (factor) => factor.levels >= 3
    case 'fraction':
      return () => false
    case 'composite':
    case 'box-behnken':
    case 'space':
      return () => true
  }
}

/**
 * Settles the design that the settings ask for.
 *
 * @param options.terms the model, for an optimal design
 * @param options.kept runs already made; `centres` the centre points that will be added
 */
export function drawDesign(options: {
  factors: readonly Factor[]
  settings: DesignSettings
  terms: readonly DesignTerm[]
  kept: readonly Place[]
  centres: readonly Place[]
  forbidden: Forbidden
  random: Random
}): Answer<DrawnDesign> {
  const { factors, settings, kept, forbidden, random } = options
  const { kind } = settings
  if (forbidden !== nothingForbidden && !ownFields[kind].includes('forbid'))
    return refuse(
      'forbidHere',
      'Combinations can be left out of a full or an optimal design; the others would lose their balance.',
      { column: 'forbid' },
    )
  if (kept.length > 0 && !ownFields[kind].includes('keep'))
    return refuse('keepHere', 'Runs already made can be completed by an optimal or a space-filling design.', {
      column: 'keep',
    })
  switch (kind) {
    case 'full':
      return fullGrid(factors, forbidden)
    case 'fraction':
      return twoLevelFraction(factors, settings)
    case 'composite':
      return composite(factors, settings)
    case 'box-behnken':
      return boxBehnken(factors)
    case 'space':
      return spaceFilling(factors, settings, kept, random)
    case 'optimal':
      return optimal(options)
  }
}

/** Grids larger than this are not even looked through for combinations to leave out. */
const largestGrid = 20_000

function fullGrid(factors: readonly Factor[], forbidden: Forbidden): Answer<DrawnDesign> {
  const size = gridSize(factors)
  if (forbidden === nothingForbidden || size > largestGrid)
    return good({ size, points: () => fullFactorial(factors), words: '' })
  const points = fullFactorial(factors).filter(
    ({ coded }) =>
      !forbidden.forbids(
        Object.fromEntries(factors.map((factor, f) => [factor.name, settle(factor, coded[f]!).setting])),
      ),
  )
  if (points.length === 0)
    return refuse('nothingLeft', 'The combinations to leave out leave nothing to run.', { column: 'forbid' })
  return good({
    size: points.length,
    points: () => points,
    words: points.length === size ? '' : `${size - points.length} of the ${size} combinations are left out.`,
  })
}
