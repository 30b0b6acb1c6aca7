import { z } from 'zod'

const positive = z.number().positive()
const share = z.number().min(0).max(0.5)

/** The numbers of the invented film, as its `FilmParameters`, within bounds in which it still is a film. */
export const filmParameters = z.object({
  referenceNm: positive.max(1e6),
  exponent: z.number().min(0).max(2),
  wetShare: z.number().min(0).max(5),
  dryingTime: positive.max(1000),
  lotB: z.number().min(-0.5).max(0.5),
  lotC: z.number().min(-0.5).max(0.5),
  session: share,
  plateC: z.number().min(0).max(50),
  wafer: share,
  speed: share,
  bakeS: z.number().min(0).max(60),
  bowl: share,
  ring: share,
  wedge: share,
  site: share,
  gaugeNm: z.number().min(0).max(10000),
  reloadNm: z.number().min(0).max(10000),
  humidity: z.number().min(0).max(30),
  roomC: z.number().min(0).max(20),
})

/** What a person may change of it; the rest stays. */
export const changedFilm = filmParameters.partial()
