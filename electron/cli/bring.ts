import { basename } from 'node:path'
import { broughtInNotes, broughtInSentence } from '../../shared/brought-in-words.ts'
import type { WayIn } from '../../shared/contract/calls/study-files.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { count } from '../../shared/words.ts'
import { readFile } from '../read-file.ts'
import type { Given } from './options.ts'
import { withEngine } from './study.ts'
import type { Outcome, Verb } from './verb.ts'

/** `evenfilm bring`: the file of a study into a database. */
export const bring: Verb = {
  name: 'bring',
  summary: 'brings the file of a study into a database, after a backup',
  operands: ['FILE'],
  options: {
    data: { value: 'FILE', help: 'the database; it is made where there is none', required: true },
    add: { help: 'to the study that is here: the runs and readings that are new' },
    copy: { help: 'beside the study that is here, as a copy' },
    look: { help: 'only say what the file holds' },
  },
  more: 'The file is written by `evenfilm export --whole FILE`, or by the page.',
  async run(given) {
    const way = wayOf(given)
    if (!way.ok) return way
    const file = given.operands[0] ?? ''
    const read = readFile(file)
    if (!read.ok) return read
    const bytes = Buffer.from(read.value).toString('base64')
    const source = { fileName: basename(file), bytes }
    return withEngine<Outcome>(given.text('data') ?? '', { mayBeNew: true }, async (call) => {
      const inside = await call('studies.lookAtFile', source)
      if (!inside.ok) return inside
      const { name, runs, readings, hash, here } = inside.value
      if (given.has('look'))
        return good({
          exit: 0 as const,
          json: inside.value,
          text: `${name}: ${count(runs, 'run')}, ${count(readings, 'reading')}\n${hash}`,
          notes: here ? [`The study is here${here.same ? ' and holds the same' : ''}.`] : [],
        })
      const done = await call('studies.bringIn', { ...source, way: way.value })
      return done.ok
        ? good({
            exit: 0 as const,
            json: done.value,
            text: broughtInSentence(done.value),
            notes: broughtInNotes(done.value),
          })
        : done
    })
  },
}

function wayOf(given: Given): Answer<WayIn> {
  const asked = (['add', 'copy'] as const).filter((name) => given.has(name))
  return asked.length > 1
    ? refuse('optionsClash', 'A file is added or comes in as a copy, not both: leave --add or --copy out.')
    : good(asked[0] ?? 'new')
}
