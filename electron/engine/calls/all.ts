import { amend } from './amend.ts'
import { application } from './application.ts'
import { bench } from './bench.ts'
import { block } from './block.ts'
import { checkStandards } from './check-standards.ts'
import { confirmations } from './confirmations.ts'
import { demo } from './demo.ts'
import { drift } from './drift.ts'
import { fits } from './fits.ts'
import { gauges } from './gauges.ts'
import type { Handlers } from './handler.ts'
import { history } from './history.ts'
import { imports } from './imports.ts'
import { ledger } from './ledger.ts'
import { lots } from './lots.ts'
import { materials } from './materials.ts'
import { next } from './next.ts'
import { plans } from './plans.ts'
import { practise } from './practise.ts'
import { recipes } from './recipes.ts'
import { rehearse } from './rehearse.ts'
import { replan } from './replan.ts'
import { reports } from './reports.ts'
import { sessions } from './sessions.ts'
import { sites } from './sites.ts'
import { studies } from './studies.ts'
import { studyFiles } from './study-files.ts'
import { tools } from './tools.ts'
import { traces } from './traces.ts'

/** Every call of the contract with what answers it. */
export const handlers: Handlers = {
  ...application,
  ...studies,
  ...studyFiles,
  ...demo,
  ...tools,
  ...gauges,
  ...checkStandards,
  ...plans,
  ...rehearse,
  ...practise,
  ...replan,
  ...amend,
  ...bench,
  ...block,
  ...traces,
  ...sessions,
  ...sites,
  ...materials,
  ...imports,
  ...fits,
  ...next,
  ...ledger,
  ...confirmations,
  ...lots,
  ...recipes,
  ...drift,
  ...reports,
  ...history,
}
