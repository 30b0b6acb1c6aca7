import { z } from 'zod'
import { plateVisit, session } from '../things.ts'
import { done, id, ofStudy, reads, writes } from './call.ts'

export const sessions = {
  /** Every session and plate visit that the study's runs name or that something is recorded of. */
  'sessions.list': reads(ofStudy, z.object({ sessions: z.array(session), visits: z.array(plateVisit) })),
  /** Keeps what is known of a session; with `renames` its runs bear the new name. */
  'sessions.keep': writes(z.object({ studyId: id, session, renames: z.string().optional() }), done),
  /**
   * Puts runs into a session, or out of any. With a day (YYYY-MM-DD) the session is of that day, where it has none yet, and
   * runs that are coated on it later join it by themselves.
   */
  'sessions.putRuns': writes(
    z.object({
      studyId: id,
      runIds: z.array(id).min(1).max(10000),
      session: z.string().trim().min(1).max(200).nullable(),
      day: z.iso.date().optional(),
    }),
    done,
  ),
  'sessions.keepVisit': writes(z.object({ studyId: id, visit: plateVisit }), done),
}
