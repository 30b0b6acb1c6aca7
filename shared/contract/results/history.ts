import { z } from 'zod'

/** What a field held: words of the program with units, or what a person typed. */
export const toldValue = z.union([z.object({ words: z.string() }), z.object({ typed: z.string() })])
export type ToldValue = z.infer<typeof toldValue>

export const changeKinds = ['added', 'changed', 'taken away', 'brought back'] as const

/** One change in words of the trade. */
export const toldChange = z.object({
  /** What it was done to, such as `run W03` or `9 readings of W03`. */
  thing: z.string(),
  what: z.enum(changeKinds),
  /** Under the name that the page uses; null where the thing as a whole was added or taken away. */
  field: z.string().nullable(),
  /** Null where nothing stood there. */
  from: toldValue.nullable(),
  to: toldValue.nullable(),
})
export type ToldChange = z.infer<typeof toldChange>

/** A step of the history. */
export const toldStep = z.object({
  id: z.number().int(),
  at: z.string(),
  who: z.string(),
  label: z.string(),
  /** Whether it took another step back or made it again. */
  kind: z.enum(['do', 'undo', 'redo']),
  /** It was taken back and not made again. */
  undone: z.boolean(),
  changes: z.array(toldChange),
  /** Recorded changes that are not told here, because there are so many; the exported history has them. */
  more: z.number().int(),
})
export type ToldStep = z.infer<typeof toldStep>
