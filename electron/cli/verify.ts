import { good, refuse } from '../../shared/problem.ts'
import { count } from '../../shared/words.ts'
import type { Outcome, Verb } from './verb.ts'

/** `evenfilm verify`: whether a database, or the file of a study, is whole, and the hash of each study. */
export const verify: Verb = {
  name: 'verify',
  summary: 'reads every page of a database or of a study’s file, and writes nothing',
  operands: [],
  options: {
    data: { value: 'FILE', help: 'the database, or the file of a study', required: true },
    study: { value: 'NAME', help: 'the study whose hash is held against --hash' },
    hash: { value: 'SHA256', help: 'the hash of the data as it stands on a report' },
  },
  more: 'The hash is the same wherever the study is, and after a step that was undone.',
  async run(given) {
    const [data, name, hash] = [given.text('data') ?? '', given.text('study'), given.text('hash')]
    if ((name === null) !== (hash === null))
      return refuse('missingOption', '--study and --hash go together: the hash is held against that study.')
    const { verifyFile } = await import('../engine/store/verify.ts')
    const found = verifyFile(data)
    if (!found.ok) return found
    const { kind, studies, backups } = found.value
    if (name !== null) {
      const study = studies.find((each) => each.name === name || each.id === name)
      if (!study) return refuse('noSuchStudy', `There is no study ‘${name}’ in ${data}.`)
      if (study.hash !== hash?.toLowerCase())
        return refuse('otherData', `‘${study.name}’ holds other data now: its hash is ${study.hash}.`)
    }
    const bad = backups.filter(({ problem }) => problem !== null)
    const lines = [
      `The ${kind === 'database' ? 'database' : 'file of a study'} is whole.`,
      ...studies.map((study) => `${study.hash}  ${study.name}`),
      ...(kind === 'database'
        ? [`${count(backups.length - bad.length, 'backup')} beside it can be used.`]
        : []),
    ]
    return good<Outcome>({
      exit: 0,
      json: found.value,
      text: lines.join('\n'),
      notes: bad.map(({ name: backup, problem }) => `${backup}: ${problem?.message}`),
    })
  },
}
