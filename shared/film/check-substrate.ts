import { plainNumber } from '../charts/format.ts'
import type { Problem } from '../problem.ts'
import { type MappedSubstrate, type Site, studySites } from './site-map.ts'
import { beyondEdge, isMeasurable, type Substrate, sizeInWords } from './substrate.ts'

/** What is wrong with a substrate and its site map, by field; nothing where films can be read on it. */
export function substrateProblems(study: MappedSubstrate): Problem[] {
  const isOpen = study.substrateShape === 'rectangle' && (study.widthMm == null || study.heightMm == null)
  if (isOpen)
    return [
      {
        code: 'noSides',
        message: 'A rectangular substrate needs its width and its height.',
        column: study.widthMm == null ? 'widthMm' : 'heightMm',
      },
    ]
  if (!isMeasurable(study))
    return [
      {
        code: 'edgeExclusion',
        message: `An edge exclusion of ${plainNumber(study.edgeExclusionMm)} mm leaves nothing of a substrate of ${sizeInWords(study)}.`,
        column: 'edgeExclusionMm',
      },
    ]
  if (study.siteMap !== 'own') return []
  const sites = studySites(study)
  if (sites.length === 0)
    return [
      {
        code: 'noOwnSites',
        message: 'Paste the sites of your own map, or choose another.',
        column: 'ownSites',
      },
    ]
  return sites.flatMap((site, i) => {
    const problem = siteProblem(site, sites.slice(0, i), study)
    return problem ? [{ ...problem, column: 'ownSites' }] : []
  })
}

/** Why a site of one's own cannot be taken beside those before it, or null where it can. */
export function siteProblem(
  { site, xMm, yMm }: Site,
  before: readonly Site[],
  substrate: Substrate,
): Problem | null {
  if (!(Number.isInteger(site) && site >= 1 && site <= 9999))
    return { code: 'siteNumber', message: `A site is numbered from 1 to 9999, not ${site}.` }
  if (before.some((other) => other.site === site))
    return { code: 'siteTwice', message: `Site ${site} stands there twice.` }
  const beside = before.find((other) => Math.hypot(other.xMm - xMm, other.yMm - yMm) < samePlace)
  if (beside) return { code: 'samePlace', message: `Site ${site} lies where site ${beside.site} does.` }
  const beyond = beyondEdge(substrate, { x: xMm, y: yMm })
  return beyond === null ? null : { code: 'beyondEdge', message: `Site ${site}: ${beyond}` }
}

/** Sites closer than this are at one place, mm. */
const samePlace = 1e-3
