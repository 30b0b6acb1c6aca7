import packageInfo from '../../../package.json' with { type: 'json' }
import { good } from '../../../shared/problem.ts'
import { done, type Handlers } from './handler.ts'

type Names = 'application.about' | 'application.cancel'

export const application: Handlers<Names> = {
  'application.about': (_args, { file, version, warnings }) =>
    good({ version: packageInfo.version, database: file, schema: version, warnings }),
  'application.cancel': ({ call }, _store, page) => {
    page.cancel(call)
    return done
  },
}
