import { existsSync } from 'node:fs'
import type { Args, CallEngine, CallName, Result } from '../../shared/contract.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import type { OptionSpecs } from './options.ts'

/** Options of the verbs that work on a study of a database. */
export const studyOptions: OptionSpecs = {
  data: { value: 'FILE', help: 'the database', required: true },
  study: { value: 'NAME', help: 'name of the study', required: true },
}

/** Works with the engine on a database and closes it, whatever happens. */
export async function withEngine<T>(
  databaseFile: string,
  options: { mayBeNew: boolean },
  work: (call: CallEngine) => Promise<Answer<T>>,
): Promise<Answer<T>> {
  if (!options.mayBeNew && !existsSync(databaseFile))
    return refuse('noSuchFile', `There is no database ${databaseFile}.`)
  const { startEngine } = await import('../engine/engine.ts')
  const engine = await startEngine({ databaseFile })
  const call = <N extends CallName>(name: N, args: Args<N>) =>
    engine.call(name, args) as Promise<Answer<Result<N>>>
  try {
    return await work(call)
  } finally {
    await engine.close()
  }
}

/** The study of that name, or of that id; archived ones count where no other has the name. */
export async function studyNamed(call: CallEngine, name: string): Promise<Answer<string>> {
  const studies = await call('studies.list', {})
  if (!studies.ok) return studies
  const known = studies.value.find(({ id }) => id === name)
  if (known !== undefined) return good(known.id)
  const named = studies.value.filter((study) => study.name === name)
  const current = named.filter((study) => !study.archived)
  const [study, second] = current.length > 0 ? current : named
  if (second !== undefined)
    return refuse('ambiguousStudy', `More than one study is called ‘${name}’. Give one another name first.`)
  if (study !== undefined) return good(study.id)
  const names = studies.value.map((other) => `‘${other.name}’`).join(', ')
  return refuse(
    'noSuchStudy',
    `There is no study ‘${name}’. ${names === '' ? 'The database holds none.' : `There are ${names}.`}`,
  )
}
