import type { Problem } from '../problem.ts'
import { type MappedSubstrate, type Site, studySites } from './site-map.ts'
import { beyondEdge, isMeasurable, sizeInWords } from './substrate.ts'

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
        message: `An edge exclusion of ${study.edgeExclusionMm} mm leaves nothing of a substrate of ${sizeInWords(study)}.`,
        column: 'edgeExclusionMm',
      },
    ]
  if (study.siteMap !== 'own') return []
  const sites = studySites(study)
  if (sites.length > 0) return ownSiteProblems(sites, study)
  return [
    {
      code: 'noOwnSites',
      message: 'Paste the sites of your own map, or choose another.',
      column: 'ownSites',
    },
  ]
}

/** What is wrong with one's own sites: two of one number, two at one place, one beyond the edge exclusion. */
export function ownSiteProblems(sites: readonly Site[], substrate: MappedSubstrate): Problem[] {
  const problems: Problem[] = []
  const problem = (code: string, message: string) => problems.push({ code, message, column: 'ownSites' })
  const numbers = new Set<number>()
  const places = new Map<string, number>()
  for (const { site, xMm, yMm } of sites) {
    if (numbers.has(site)) problem('siteTwice', `Site ${site} stands there twice.`)
    numbers.add(site)
    const place = `${xMm.toFixed(3)} ${yMm.toFixed(3)}`
    const before = places.get(place)
    if (before !== undefined) problem('samePlace', `Site ${site} lies where site ${before} does.`)
    else places.set(place, site)
    const beyond = beyondEdge(substrate, { x: xMm, y: yMm })
    if (beyond) problem('beyondEdge', `Site ${site}: ${beyond}`)
  }
  return problems
}
