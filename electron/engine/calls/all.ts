import { application } from './application.ts'
import { bench } from './bench.ts'
import type { Handlers } from './handler.ts'
import { history } from './history.ts'
import { imports } from './imports.ts'
import { plans } from './plans.ts'
import { reports } from './reports.ts'
import { studies } from './studies.ts'
import { tools } from './tools.ts'

/** Every call of the contract with what answers it. */
export const handlers: Partial<Handlers> = {
  ...application,
  ...studies,
  ...tools,
  ...plans,
  ...bench,
  ...imports,
  ...reports,
  ...history,
}
