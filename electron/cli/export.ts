import { good, refuse } from '../../shared/problem.ts'
import { writeTo } from '../write-file.ts'
import { studyNamed, studyOptions, withEngine } from './study.ts'
import type { Outcome, Verb } from './verb.ts'

/** `evenfilm export`: runs, readings and history of a study as CSV, or the study as one file. */
export const exportRuns: Verb = {
  name: 'export',
  summary: 'writes the runs, readings and history of a study as CSV, or the whole study as one file',
  operands: [],
  options: {
    ...studyOptions,
    runs: { value: 'FILE', help: 'where to write the runs, one a row' },
    readings: { value: 'FILE', help: 'where to write the readings, one a row' },
    history: { value: 'FILE', help: 'where to write the history, one change a row' },
    whole: { value: 'FILE', help: 'where to write the study with its history, for another database' },
  },
  async run(given) {
    const wanted = [
      { call: 'reports.runsCsv', file: given.text('runs') },
      { call: 'reports.readingsCsv', file: given.text('readings') },
      { call: 'reports.historyCsv', file: given.text('history') },
    ] as const
    const whole = given.text('whole')
    if (whole === null && wanted.every(({ file }) => file === null))
      return refuse(
        'missingOption',
        'export needs --runs FILE, --readings FILE, --history FILE or --whole FILE.',
      )
    return withEngine<Outcome>(given.text('data') ?? '', { mayBeNew: false }, async (call) => {
      const studyId = await studyNamed(call, given.text('study') ?? '')
      if (!studyId.ok) return studyId
      const written: { file: string; rows?: number; hash?: string }[] = []
      for (const { call: name, file } of wanted) {
        if (file === null) continue
        const csv = await call(name, { studyId: studyId.value })
        if (!csv.ok) return csv
        const done = writeTo(file, csv.value.text)
        if (!done.ok) return done
        written.push({ file, rows: csv.value.text.trim().split('\n').length - 1 })
      }
      if (whole !== null) {
        const study = await call('studies.file', { studyId: studyId.value })
        if (!study.ok) return study
        const done = writeTo(whole, Buffer.from(study.value.bytes, 'base64'))
        if (!done.ok) return done
        written.push({ file: whole, hash: study.value.hash })
      }
      return good({
        exit: 0 as const,
        json: { files: written },
        text: written.map(({ file, rows, hash }) => `${file}: ${hash ?? `${rows} rows`}`).join('\n'),
      })
    })
  },
}
