import { z } from 'zod'
import { checkState, programCheck } from '../results/check.ts'
import { filmSummary } from '../results/film.ts'
import { problem } from '../results/problem.ts'
import { actual, reading, readingStage, run, runState, settings, study } from '../things.ts'
import { done, id, ofStudy, reads, text, writes } from './call.ts'

export const site = z.object({ site: z.number().int(), xMm: z.number(), yMm: z.number() })

/** A point of the spin program drawn as speed against time. */
export const programPoint = z.object({ time: z.number(), rpm: z.number() })

/** A run with what its readings say: one row of the table of runs. */
export const runRow = run.extend({
  readings: z.number().int(),
  /** Those of them that are excluded. */
  leftOut: z.number().int(),
  /** Sites of the study's map that are read; null where there are no readings, or these have no site. */
  sitesRead: z.number().int().nullable(),
  film: filmSummary.nullable(),
  /** Means of responses other than thickness, by name. */
  responses: z.record(z.string(), z.number()),
})

const expected = {
  /** Thickness that the study's fit expects, nm, where there is one. */
  expectedNm: z.number().nullable(),
  /** Its 95 % prediction interval, nm. */
  expectedIntervalNm: z.tuple([z.number(), z.number()]).nullable(),
}

export const runCard = z.object({
  run,
  study,
  /** Place among the runs of the study, from 1, and its neighbours in run order. */
  place: z.number().int(),
  of: z.number().int(),
  previous: id.nullable(),
  next: id.nullable(),
  program: z.array(z.object({ rpm: z.number(), ramp: z.number(), time: z.number() })),
  bake: z.object({ display: z.number(), surface: z.number(), time: z.number() }),
  check: programCheck,
  checks: z.array(checkState),
  /** What the session of the run shares, as far as it is noted; null where it has no session. */
  session: z
    .object({ name: z.string(), day: z.string(), operator: z.string(), bottle: z.string().nullable() })
    .nullable(),
  /** From the start to the end of the program. */
  programMinutes: z.number(),
  /** When the plate was set, HH:MM or empty, and the minutes that it takes to settle, where they are known. */
  plateSet: z.object({ at: z.string(), settles: z.number().nullable() }),
  profile: z.array(programPoint),
  cautions: z.array(z.string()),
  sites: z.array(site),
  /** Readings in force: neither withdrawn nor superseded; excluded ones are marked. */
  readings: z.array(reading),
  film: filmSummary.nullable(),
  ...expected,
})

const repeat = reading.shape.repeat
/** What all readings of an entry share. */
const howRead = {
  takenAfter: readingStage.nullable().optional(),
  opticalIndex: z.number().positive().max(10).nullable().optional(),
}

export const bench = {
  'bench.runs': reads(ofStudy, z.array(runRow)),
  'bench.card': reads(z.object({ runId: id }), runCard),
  /** Changes what a run was or is to be; `actual` as a whole, a defect with the state `failed` and nowhere else. */
  'bench.updateRun': writes(
    z.object({
      runId: id,
      change: z
        .object({
          settings,
          lot: z.string().nullable(),
          state: runState,
          session: z.string().max(200).nullable(),
          note: text,
          actual,
          steps: run.shape.steps,
          stepsDone: run.shape.stepsDone,
          substrate: run.shape.substrate,
          defect: z.string().trim().min(1).max(2000).nullable(),
          excluded: z.string().min(1).max(2000).nullable(),
        })
        .partial(),
    }),
    done,
  ),
  /**
   * Takes readings as typed. A site that has one already of that repeat and stage gets a correction: the new reading
   * supersedes it. Stage and optical index of a thickness are those that the study says unless given.
   * All or nothing; one step of undo.
   */
  'bench.enterReadings': writes(
    z.object({
      runId: id,
      quantity: z.string().min(1).max(200).optional(),
      unit: z.string().max(20),
      ...howRead,
      readings: z
        .array(
          z.object({
            site: z.number().int().min(1).nullable(),
            repeat: repeat.optional(),
            xMm: z.number().nullable().optional(),
            yMm: z.number().nullable().optional(),
            text: z.string().min(1).max(100),
          }),
        )
        .min(1)
        .max(10000),
    }),
    z.object({ readingIds: z.array(id), warnings: z.array(problem) }),
  ),
  /** Thickness readings by site of every run that is not dropped. */
  'bench.readings': reads(
    ofStudy,
    z.object({
      study,
      sites: z.array(site),
      /** Readings at other stages, and differing optical indices. */
      problems: z.array(problem),
      runs: z.array(z.object({ id, code: z.string(), readings: z.array(reading), ...expected })),
    }),
  ),
  /** The thickness readings that the films of some runs are made of, for their maps; runs without any are left out. */
  'bench.maps': reads(
    ofStudy.extend({ runIds: z.array(id).max(50) }),
    z.array(z.object({ id, readings: z.array(reading) })),
  ),
  /** Takes thickness readings of several runs as typed: all or nothing, one step of undo. */
  'bench.enterBlock': writes(
    ofStudy.extend({
      unit: z.string().max(20),
      runs: z
        .array(
          z.object({
            runId: id,
            readings: z
              .array(
                z.object({
                  site: z.number().int().min(1),
                  repeat: repeat.optional(),
                  text: z.string().min(1).max(100),
                }),
              )
              .min(1),
          }),
        )
        .min(1)
        .max(1000),
    }),
    z.object({ readingIds: z.array(id) }),
  ),
  /** Takes readings back with all that they corrected; undo brings them in force again. */
  'bench.withdrawReadings': writes(ofStudy.extend({ readingIds: z.array(id).min(1).max(10000) }), done),
  /**
   * Says anew after which stage the thickness readings of a run were taken that are counted after `stage`, and the
   * optical index they rest on. Each is superseded by one with the same number; one step of undo.
   */
  'bench.changeHowRead': writes(
    z.object({
      runId: id,
      stage: readingStage,
      takenAfter: readingStage,
      opticalIndex: z.number().positive().max(10).nullable(),
    }),
    done,
  ),
  /** Gives each of two runs that were mixed up the readings of the other, with the reason in both notes. */
  'bench.exchangeReadings': writes(
    z.object({ runId: id, otherRunId: id, reason: z.string().trim().min(1).max(500) }),
    done,
  ),
  'bench.excludeReading': writes(
    z.object({ readingId: id, reason: z.string().trim().min(1).max(2000) }),
    done,
  ),
  'bench.includeReading': writes(z.object({ readingId: id }), done),
}
