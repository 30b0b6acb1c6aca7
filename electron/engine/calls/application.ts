import packageInfo from '../../../package.json' with { type: 'json' }
import { siteMap } from '../../../shared/film/site-map.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { done, type Handlers } from './handler.ts'

type Names = 'application.about' | 'application.cancel' | 'sites.map'

export const application: Handlers<Names> = {
  'application.about': (_args, { file, version, warnings }) =>
    good({ version: packageInfo.version, database: file, schema: version, warnings }),
  'application.cancel': ({ call }, _store, page) => {
    page.cancel(call)
    return done
  },
  'sites.map': (args) =>
    args.edgeExclusionMm < args.diameterMm / 2
      ? good(siteMap(args))
      : refuse('edgeExclusion', 'The edge exclusion leaves nothing of the substrate.', {
          column: 'edgeExclusionMm',
        }),
}
