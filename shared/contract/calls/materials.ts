import { z } from 'zod'
import { bottleEventKinds, substrateEventKinds } from '../choices.ts'
import { bottle, bottleEvent, bottleInput, substrate, substrateEvent } from '../materials.ts'
import { done, id, ofStudy, reads, writes } from './call.ts'

const session = z.string().min(1).max(200)
/** When it happened, now unless said. */
const at = z.iso.datetime().optional()
const text = z.string().trim().max(2000).optional()

const coat = z.object({
  what: z.literal('coat'),
  runId: id,
  code: z.string(),
  study: z.string(),
  lot: z.string().nullable(),
  at: z.string().nullable(),
  /** The run over whose film this one was laid, where that was not stripped off in between. */
  over: z.string().nullable(),
})

/** Bottles serve many studies: a change belongs to the history of the one that is named. */
const inStudy = ofStudy.partial()

export const materials = {
  /** All bottles; openings are those up to the session, where one of the study is named. */
  'bottles.list': reads(inStudy.extend({ session: session.optional() }), z.array(bottle)),
  'bottles.events': reads(z.object({ bottleId: id }), z.array(bottleEvent)),
  /** Without an id a new bottle is made; with a session, that session pours from it. */
  'bottles.keep': writes(
    inStudy.extend({
      bottle: bottleInput.partial().required({ name: true }).extend({ id: id.optional() }),
      session: session.optional(),
    }),
    z.object({ id }),
  ),
  'bottles.note': writes(
    inStudy.extend({
      bottleId: id,
      session: session.optional(),
      kind: z.enum(bottleEventKinds),
      at,
      ml: bottleEvent.shape.ml.optional(),
      text,
    }),
    done,
  ),
  /** What happened to the substrate of a code over all studies; null where there is none. */
  'substrates.history': reads(
    z.object({ code: z.string() }),
    z
      .object({
        substrate,
        entries: z.array(
          z.discriminatedUnion('what', [coat, substrateEvent.extend({ what: z.literal('event') })]),
        ),
      })
      .nullable(),
  ),
  'substrates.keep': writes(ofStudy.extend({ substrate }), done),
  'substrates.note': writes(
    ofStudy.extend({ substrateId: id, kind: z.enum(substrateEventKinds), at, text }),
    done,
  ),
  /** Takes back what was noted of a bottle or a substrate. */
  'events.takeBack': writes(inStudy.extend({ eventId: id }), done),
}
