import { application } from './calls/application.ts'
import { backups } from './calls/backups.ts'
import { bench } from './calls/bench.ts'
import { fits } from './calls/fits.ts'
import { gauges } from './calls/gauges.ts'
import { history } from './calls/history.ts'
import { imports } from './calls/imports.ts'
import { lots } from './calls/lots.ts'
import { materials } from './calls/materials.ts'
import { next } from './calls/next.ts'
import { plans } from './calls/plans.ts'
import { recipes } from './calls/recipes.ts'
import { reports } from './calls/reports.ts'
import { sessions } from './calls/sessions.ts'
import { sites } from './calls/sites.ts'
import { studies } from './calls/studies.ts'
import { studyFiles } from './calls/study-files.ts'
import { tools } from './calls/tools.ts'
import { traces } from './calls/traces.ts'

/** Every call by name; one file an area, as the engine answers them. */
export const calls = {
  ...application,
  ...backups,
  ...studies,
  ...studyFiles,
  ...tools,
  ...gauges,
  ...plans,
  ...bench,
  ...traces,
  ...sessions,
  ...sites,
  ...materials,
  ...imports,
  ...fits,
  ...next,
  ...lots,
  ...recipes,
  ...reports,
  ...history,
}
