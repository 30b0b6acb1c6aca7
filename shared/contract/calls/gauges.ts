import { z } from 'zod'
import {
  checkReading,
  checkStandard,
  gaugePlace,
  gaugeReading,
  gaugeStudy,
  gaugeStudySize,
} from '../gauges.ts'
import { checkLogResult, gaugeBias, gaugeReach, gaugeResult } from '../results/gauge.ts'
import { problem } from '../results/problem.ts'
import { done, id, reads, text, writes } from './call.ts'

/** The study at whose bench it is done: its history takes the step, and Undo there takes it back. */
const bench = { studyId: id }
const ofGauge = z.object({ gaugeId: id })
const file = z.object({ fileName: z.string(), text: z.string() })
const typed = z.object({ text, unit: z.string() })

export const gauges = {
  /** How well a gauge study of this size would know each part. */
  'gauges.reach': reads(gaugeStudySize, gaugeReach),
  /** The gauge studies of a gauge, the newest first. */
  'gauges.studies': reads(
    ofGauge,
    z.array(gaugeStudy.extend({ readings: z.number().int(), of: z.number().int() })),
  ),
  /** One gauge study: the loadings in their order, its readings, and what they say so far. */
  'gauges.study': reads(
    z.object({ gaugeStudyId: id }),
    z.object({
      study: gaugeStudy,
      order: z.array(gaugePlace.omit({ scan: true })),
      readings: z.array(gaugeReading),
      result: gaugeResult.nullable(),
      /** Why there is no result yet. */
      problems: z.array(problem),
    }),
  ),
  /** The readings of a gauge study as `gauge` of the command line reads them, in the order of loading. */
  'gauges.studyCsv': reads(z.object({ gaugeStudyId: id }), file),
  'gauges.startStudy': writes(
    z.object({ ...bench, study: gaugeStudy.omit({ id: true, at: true, seed: true }) }),
    z.object({ id }),
  ),
  'gauges.changeStudy': writes(
    z.object({
      ...bench,
      gaugeStudyId: id,
      change: gaugeStudy.pick({ toleranceNm: true, note: true }).partial(),
    }),
    done,
  ),
  'gauges.removeStudy': writes(z.object({ ...bench, gaugeStudyId: id }), done),
  /** Takes readings as typed; an empty text takes the reading there back. All are taken, or none. */
  'gauges.enterReadings': writes(
    z.object({
      ...bench,
      gaugeStudyId: id,
      unit: z.string(),
      readings: z.array(gaugePlace.extend({ text })).min(1).max(5000),
    }),
    done,
  ),
  /** Puts what the study found into the gauge, whose uncertainty uses it from then on. */
  'gauges.useStudy': writes(z.object({ ...bench, gaugeStudyId: id }), done),
  /** How the second gauge reads against the first, on the wafers that both studies name. */
  'gauges.compare': reads(z.object({ first: id, second: id }), gaugeBias),
  /** Every check standard with its readings by this gauge and what they say. */
  'gauges.checkLog': reads(
    ofGauge,
    z.array(
      z.object({
        standard: checkStandard,
        readings: z.array(checkReading),
        result: checkLogResult.nullable(),
      }),
    ),
  ),
  /** The log of a check standard by this gauge, as `gauge --nominal` of the command line reads it. */
  'gauges.checkLogCsv': reads(ofGauge.extend({ standardId: id }), file),
  /** Without an id a new standard is made. */
  'gauges.saveStandard': writes(
    z.object({ ...bench, standard: checkStandard.partial({ id: true }) }),
    z.object({ id }),
  ),
  'gauges.enterCheckReadings': writes(
    z.object({
      ...bench,
      gaugeId: id,
      standardId: id,
      readings: z
        .array(typed.extend({ day: checkReading.shape.day }))
        .min(1)
        .max(5000),
    }),
    done,
  ),
  'gauges.withdrawCheckReadings': writes(
    z.object({ ...bench, readingIds: z.array(id).min(1).max(5000) }),
    done,
  ),
  /** Puts the uncertainty that the check standard leaves into the gauge's calibration. */
  'gauges.useCheckLog': writes(z.object({ ...bench, gaugeId: id, standardId: id }), done),
}
