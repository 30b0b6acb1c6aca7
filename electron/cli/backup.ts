import { dirname, join } from 'node:path'
import type { BackupInside, BackupKept } from '../../shared/contract/calls/backups.ts'
import { good, refuse } from '../../shared/problem.ts'
import { count } from '../../shared/words.ts'
import { withEngine } from './study.ts'
import type { Outcome, Verb } from './verb.ts'

/** `evenfilm backup`: makes a backup of a database, lists those there are, looks into one, puts one in its place. */
export const backup: Verb = {
  name: 'backup',
  summary: 'backs a database up, or puts a backup in its place',
  operands: [],
  options: {
    data: { value: 'FILE', help: 'the database', required: true },
    list: { help: 'list the backups beside it, newest first' },
    look: { value: 'NAME', help: 'what a backup holds' },
    restore: { value: 'NAME', help: 'put a backup in the place of the database; what is there is kept' },
  },
  async run(given) {
    const asked = ['list', 'look', 'restore'].filter((name) => given.has(name))
    if (asked.length > 1)
      return refuse('optionsClash', `backup does one thing at a time, not --${asked.join(' and --')}.`)
    const data = given.text('data') ?? ''
    const look = given.text('look')
    const restore = given.text('restore')
    return withEngine<Outcome>(data, { mayBeNew: restore !== null }, async (call) => {
      if (given.has('list')) {
        const found = await call('backups.list', {})
        return found.ok ? good(outcome(found.value, listWords(found.value.backups))) : found
      }
      if (look !== null) {
        const inside = await call('backups.look', { name: look })
        return inside.ok ? good(outcome(inside.value, insideWords(inside.value))) : inside
      }
      if (restore !== null) {
        const done = await call('backups.restore', { name: restore })
        if (!done.ok) return done
        const { kept } = done.value
        const words =
          kept === null ? 'Nothing was there' : `What was there is kept as ${join(dirname(data), kept)}`
        return good(outcome({ ...done.value, restored: restore }, words))
      }
      const made = await call('backups.make', {})
      return made.ok ? good(outcome(made.value, join(dirname(data), made.value.name))) : made
    })
  },
}

const outcome = (json: unknown, text: string): Outcome => ({ exit: 0, json, text })

function listWords(backups: BackupKept[]): string {
  if (backups.length === 0) return 'There are no backups beside it.'
  return backups.map(({ name, at, bytes }) => `${at}  ${Math.ceil(bytes / 1024)} KiB  ${name}`).join('\n')
}

function insideWords({ lastChange, studies }: BackupInside): string {
  const lines = studies.map(
    ({ name, runs, readings }) => `${name}: ${count(runs, 'run')}, ${count(readings, 'reading')}`,
  )
  return [`Last change ${lastChange ?? 'unknown'}`, ...lines].join('\n')
}
