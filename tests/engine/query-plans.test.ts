import { join } from 'node:path'
import Sqlite, { type Database } from 'better-sqlite3'
import { expect, onTestFinished, test } from 'vitest'
import { startEngine } from '../../electron/engine/engine.ts'
import { type CallName, contract } from '../../shared/contract.ts'
import { testFolder } from './engine-in-folder.ts'
import { onThisThread, tour } from './tour.ts'

/** What may be read from one end to the other, and why that does not grow with what a lab has done. */
const whole: Record<string, string> = {
  writing: 'one row',
  importing: 'the imports that are under way',
  mapping: 'kept by hand, and all of them are listed',
  coater: 'the tools of a lab',
  hotPlate: 'the tools of a lab',
  gauge: 'the tools of a lab',
  checkStandard: 'the pieces of known thickness of a lab',
  'json_each VIRTUAL TABLE': 'a list in a row',
  'pragma_table_info VIRTUAL TABLE': 'the columns of a table',
  'pragma_foreign_key_list VIRTUAL TABLE': 'the references of a table',
  sqlite_schema: 'the tables and triggers',
  'CONSTANT ROW': 'no table',
  chain: 'what one reading has corrected',
  touching: 'the readings of a run',
}

/** Where a table that grows is read whole all the same: by file and table, with the reason. */
const allowed: Record<string, string> = {
  'calls/studies.ts study': 'every study is listed, newest change first',
  'calls/lot-studies.ts study': 'every study of a resist is compared',
  'calls/earlier-studies.ts study': 'the newest few of all studies on the same tools',
  'store/bottles.ts bottle': 'every bottle is listed',
  'store/row.ts study': 'a tool or a bottle is made, or a tool changed: hardly ever',
  'store/row.ts recipe': 'looked at only while a recipe is missing that another supersedes',
}

/** Calls that prepare nothing of their own on the open database. */
const untoured: CallName[] = [
  ...(['application.about', 'application.cancel', 'gauges.reach', 'sites.read'] as const),
  ...(['backups.restore', 'backups.startEmpty', 'drift.choose'] as const),
]

/** Every statement that is prepared on a database until the test is over, and the file that prepares it. */
function statementsOn(databaseFile: string): Map<string, string> {
  const statements = new Map<string, string>()
  const { prepare } = Sqlite.prototype
  Sqlite.prototype.prepare = function (this: Database, sql: string) {
    if (this.name === databaseFile && !statements.has(sql))
      statements.set(sql, placeOf(new Error().stack ?? ''))
    return prepare.call(this, sql)
  } as typeof prepare
  onTestFinished(() => {
    Sqlite.prototype.prepare = prepare
  })
  return statements
}

/** The file of the engine that stands first in a stack, but for that which prepares for others. */
function placeOf(stack: string): string {
  const files = [...stack.matchAll(/electron\/engine\/([\w/-]+\.ts)/g)].map(([, file]) => file as string)
  return files.find((file) => file !== 'store/statements.ts') ?? ''
}

/** What SQLite reads whole, or sorts into an index of its own first, to answer a statement. */
function readWhole(db: Database, sql: string): string[] {
  const names = [...new Set([...sql.matchAll(/@(\w+)/g)].map(([, name]) => name as string))]
  const given = [
    ...[...sql.matchAll(/\?/g)].map(() => null),
    ...(names.length > 0 ? [Object.fromEntries(names.map((name) => [name, null]))] : []),
  ]
  const plan = db.prepare(`EXPLAIN QUERY PLAN ${sql}`).all(...given) as { detail: string }[]
  return plan.flatMap(({ detail }) => {
    const scanned = /^SCAN (.*?)( USING .*| VIRTUAL TABLE INDEX .*| LEFT-JOIN)?$/.exec(detail)
    if (scanned)
      return [detail.includes('VIRTUAL TABLE') ? `${scanned[1]} VIRTUAL TABLE` : (scanned[1] as string)]
    return detail.includes('AUTOMATIC') ? [detail] : []
  })
}

test('whatever is done with the program, no table that grows with the years is read whole', async () => {
  const file = join(testFolder(), 'tour.db')
  const statements = statementsOn(file)
  const engine = await startEngine({ databaseFile: file, workers: onThisThread })
  onTestFinished(() => engine.close())
  const called = await tour(engine)
  const missed = (Object.keys(contract) as CallName[]).filter((name) => !called.has(name))
  expect(
    missed.filter((name) => !untoured.includes(name)),
    'calls that tests/engine/tour.ts does not make yet',
  ).toEqual([])

  const db = new Sqlite(file, { readonly: true })
  onTestFinished(() => {
    db.close()
  })
  const used = new Set<string>()
  const bad: string[] = []
  for (const [sql, place] of statements) {
    if (!/^\s*(SELECT|INSERT|UPDATE|DELETE|WITH)\b/i.test(sql)) continue
    for (const table of readWhole(db, sql)) {
      const key = [table, `${place} ${table}`].find((each) => each in whole || each in allowed)
      if (key === undefined) bad.push(`${place} reads ${table} whole: ${sql.replace(/\s+/g, ' ')}`)
      else used.add(key)
    }
  }
  expect(bad, 'give the query an index, or a reason in `whole` or `allowed`').toEqual([])
  // What is allowed and no longer done is to be struck out.
  expect([...Object.keys(whole), ...Object.keys(allowed)].filter((key) => !used.has(key))).toEqual([])
  expect(statements.size).toBeGreaterThan(400)
}, 120_000)
