import { substrateProblems } from '../../../shared/film/check-substrate.ts'
import { good } from '../../../shared/problem.ts'
import { readOwnSites } from '../files/own-sites.ts'
import type { Handlers } from './handler.ts'

export const sites: Handlers<'sites.read'> = {
  'sites.read': (args) => {
    const problems = substrateProblems({ ...args.substrate, siteMap: '5' })
    return problems.length > 0 ? { ok: false, problems } : good(readOwnSites(args))
  },
}
