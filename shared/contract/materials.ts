import { z } from 'zod'
import { bottleEventKinds, processEventKinds, substrateEventKinds } from './choices.ts'

const id = z.uuid()
const name = z.string().trim().min(1).max(200)
const moment = z.iso.datetime()

/** Something that happened at a moment. */
const event = z.object({ id, at: moment, text: z.string().max(2000) })

export const bottleEvent = event.extend({
  kind: z.enum(bottleEventKinds),
  /** The session in which it happened; null elsewhere. */
  sessionId: id.nullable(),
  /** Poured, mL; null where nothing was, or nobody measured. */
  ml: z.number().positive().nullable(),
})
export type BottleEvent = z.infer<typeof bottleEvent>

export const substrateEvent = event.extend({ kind: z.enum(substrateEventKinds) })
export type SubstrateEvent = z.infer<typeof substrateEvent>

/** What may move every film from then on. */
export const processEvent = event.extend({ kind: z.enum(processEventKinds) })
export type ProcessEvent = z.infer<typeof processEvent>

/** What is written on a bottle of resist. Days as YYYY-MM-DD; texts are empty while unknown. */
export const bottleInput = z.object({
  name,
  resist: z.string().max(200),
  lot: z.string().max(200),
  /** What a full one holds, mL. */
  sizeMl: z.number().positive().nullable(),
  /** Last good day. */
  expires: z.string().max(20),
  openedFirst: z.string().max(20),
})
export type BottleInput = z.infer<typeof bottleInput>

/** What has become of a bottle. */
export const bottleState = z.object({
  /** Sessions of all studies that poured from it, and openings noted besides. */
  openings: z.number().int(),
  /** What coats, purges and what was noted as poured leave of it, mL; null while its size is unknown. */
  restMl: z.number().min(0).nullable(),
  /** When it was last taken out of the fridge. */
  outAt: moment.nullable(),
  empty: z.boolean(),
})
export type BottleState = z.infer<typeof bottleState>

export const bottle = bottleInput.extend({ id, ...bottleState.shape })
export type Bottle = z.infer<typeof bottle>

/** A piece that is coated, perhaps again and again. */
export const substrate = z.object({
  id,
  code: name,
  /** What it is, such as a silicon wafer with oxide. */
  kind: z.string().max(200),
  note: z.string().max(5000),
})
export type Substrate = z.infer<typeof substrate>
