import { z } from 'zod'

const id = z.uuid()
const name = z.string().trim().min(1).max(100)
const positive = z.number().positive()
/** Counted from 1. */
const place = z.number().int().min(1)

const most = { wafers: 50, operators: 10 }

/** How large a gauge study is: every operator loads every wafer so often, and scans it so often at each loading. */
export const gaugeStudySize = z.object({
  wafers: z.number().int().min(1).max(most.wafers),
  operators: z.number().int().min(1).max(most.operators),
  reloads: z.number().int().min(1).max(30),
  scans: z.number().int().min(1).max(20),
})
export type GaugeStudySize = z.infer<typeof gaugeStudySize>

export const gaugeStudy = z.object({
  id,
  gaugeId: id,
  at: z.string(),
  wafers: z.array(name).min(1).max(most.wafers),
  /** One name, or none said, where a single person reads. */
  operators: z.array(name).min(1).max(most.operators),
  reloads: gaugeStudySize.shape.reloads,
  scans: gaugeStudySize.shape.scans,
  /** Of the order in which the wafers are loaded. */
  seed: z.number().int(),
  /** The tolerance that the gauge has to serve, ± nm. */
  toleranceNm: positive.nullable(),
  note: z.string().max(2000),
})
export type GaugeStudy = z.infer<typeof gaugeStudy>

/** Where a reading of a gauge study belongs: numbers of the wafer and operator in their lists, reload and scan. */
export const gaugePlace = z.object({ wafer: place, operator: place, reload: place, scan: place })
export type GaugePlace = z.infer<typeof gaugePlace>

/** Its value in nm, beside what was typed. */
export const gaugeReading = gaugePlace.extend({ value: z.number(), text: z.string(), unit: z.string() })
export type GaugeReading = z.infer<typeof gaugeReading>

/** A piece of known thickness: the certified value and its standard uncertainty, nm. */
export const checkStandard = z.object({
  id,
  name,
  nominalNm: positive,
  uncertaintyNm: z.number().min(0),
  note: z.string().max(2000),
})
export type CheckStandard = z.infer<typeof checkStandard>

/** A reading of a check standard on a day, YYYY-MM-DD. */
export const checkReading = z.object({
  id,
  day: z.iso.date(),
  /** In nm. */
  value: z.number(),
  text: z.string(),
  unit: z.string(),
})
export type CheckReading = z.infer<typeof checkReading>
