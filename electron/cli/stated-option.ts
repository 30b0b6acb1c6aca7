import type { StatedVariance } from '../../shared/model/stated-variance.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { type Given, numberOf, pairOf } from './options.ts'

/**
 * Standard deviations of groups from elsewhere: `session=0.005` is taken as it is, `session=0.005/8` is worth 8 degrees
 * of freedom. Several stand with commas between them.
 *
 * @returns variances by group
 */
export function statedOption(
  given: Given,
  option: 'stated' | 'earlier',
): Answer<Record<string, StatedVariance>> {
  const found = new Map<string, StatedVariance>()
  for (const part of given.texts(option).flatMap((text) => text.split(','))) {
    const wrong = (why: string) => refuse('badOption', `--${option} ${part}: ${why}`, { column: option })
    const [group, stated] = pairOf(part)
    const [sdText = '', dfText, ...rest] = stated.split('/')
    if (group === '' || sdText === '' || dfText === '' || rest.length > 0)
      return wrong('it is GROUP=SD or GROUP=SD/DF, such as session=0.005/8.')
    const sd = numberOf(sdText, option)
    if (!sd.ok) return sd
    const df = dfText === undefined ? null : numberOf(dfText, option)
    if (df && !df.ok) return df
    if (sd.value < 0) return wrong('a standard deviation is not negative.')
    if (found.has(group)) return wrong(`${group} is given twice.`)
    found.set(group, { variance: sd.value ** 2, ...(df === null ? {} : { df: df.value }) })
  }
  return good(Object.fromEntries(found))
}
