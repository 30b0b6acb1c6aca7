import { migrations } from '../../electron/engine/store/migrations/all.ts'
import { openStore } from '../../electron/engine/store/open.ts'
import { slowMigrations } from './slow-migrations.ts'

/** Opens a database with two migrations more than there are, as a process of its own; says when it begins and is done. */
process.send?.('ready')
process.once('message', (file: string) => {
  const opened = openStore(file, { migrations: [...migrations, ...slowMigrations] })
  process.send?.(opened.ok ? `version ${opened.value.version}` : opened.problems[0]?.message)
})
