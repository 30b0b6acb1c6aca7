import type { Reading } from '../../../shared/contract/things.ts'

/** Where a reading of a run belongs: its site, and which of the repeats there. */
export type Spot = Pick<Reading, 'site' | 'repeat'>

/** A spot as a key of a map. */
export const spotKey = ({ site, repeat }: Spot): string => `${site} ${repeat}`
/** Where the text typed for a spot of a run is kept until it is taken. */
export const draftKey = (runId: string, spot: Spot) => `${runId} ${spotKey(spot)}`
