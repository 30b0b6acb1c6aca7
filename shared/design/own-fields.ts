import { designKinds } from '../contract/choices.ts'
import type { DesignKind, DesignSettings } from '../contract/things.ts'

/** A setting that only some kinds of design ask for. */
export type OwnField = keyof DesignSettings &
  ('runs' | 'star' | 'criterion' | 'fraction' | 'model' | 'forbid' | 'keep')

/**
 * What each kind of design asks for beyond what every kind does. For another kind such a setting has no say: the
 * page does not show it, and the command line refuses it.
 */
export const ownFields: Readonly<Record<DesignKind, readonly OwnField[]>> = {
  full: ['forbid'],
  fraction: ['runs', 'fraction'],
  composite: ['star', 'fraction'],
  'box-behnken': [],
  space: ['runs', 'keep'],
  optimal: ['runs', 'criterion', 'model', 'forbid', 'keep'],
}

/** The kinds of design that ask for a setting. */
export const kindsAskingFor = (field: OwnField): DesignKind[] =>
  designKinds.filter((kind) => ownFields[kind].includes(field))
