import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { reportParts } from '../../shared/contract/choices.ts'
import type { ReportPart } from '../../shared/contract/report.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { partTitles } from '../../shared/report/part-titles.ts'
import { writeTo } from '../write-file.ts'
import { studyNamed, studyOptions, withEngine } from './study.ts'
import type { Outcome, Verb } from './verb.ts'

const csvCalls = ['reports.runsCsv', 'reports.readingsCsv', 'reports.termsCsv', 'reports.ledgerCsv'] as const

/** `evenfilm report`: the report of a study as one HTML document, and its tables as CSV. */
export const report: Verb = {
  name: 'report',
  summary: 'writes the report of a study as one HTML document, and its tables as CSV',
  operands: [],
  options: {
    ...studyOptions,
    study: { value: 'NAME|ID', help: 'name of the study, or its id', required: true },
    out: { value: 'FILE.html', help: 'where to write the document' },
    parts: { value: 'A,B,…', help: 'its parts in order, in place of those kept with the study' },
    csv: { value: 'FOLDER', help: 'where to write runs, readings, fit terms and ledger as CSV' },
  },
  more: [
    'Parts:',
    ...reportParts.map((part) => `  ${part.padEnd(11)} ${partTitles[part]}`),
    '',
    'Without --parts the document has the parts, the order and the notes that were chosen on the page Report.',
    'A PDF with page numbers is saved from the window, on Report.',
  ].join('\n'),
  async run(given) {
    const [out, folder] = [given.text('out'), given.text('csv')]
    if (out === null && folder === null)
      return refuse('missingOption', 'report needs --out FILE.html or --csv FOLDER.')
    const parts = partsOf(given.text('parts'))
    if (!parts.ok) return parts
    return withEngine<Outcome>(given.text('data') ?? '', { mayBeNew: false }, async (call) => {
      const studyId = await studyNamed(call, given.text('study') ?? '')
      if (!studyId.ok) return studyId
      const ofStudy = { studyId: studyId.value }
      const files: string[] = []
      let notes: string[] = []
      if (out !== null) {
        const made = await call('reports.document', { ...ofStudy, ...parts.value })
        if (!made.ok) return made
        const written = writeTo(out, made.value.text)
        if (!written.ok) return written
        files.push(out)
        notes = made.value.stale
      }
      if (folder !== null) {
        const made = makeFolder(folder)
        if (!made.ok) return made
        for (const name of csvCalls) {
          const csv = await call(name, ofStudy)
          if (!csv.ok) return csv
          const file = join(folder, csv.value.fileName)
          const written = writeTo(file, csv.value.text)
          if (!written.ok) return written
          files.push(file)
        }
      }
      return good({ exit: 0 as const, json: { files, stale: notes }, text: files.join('\n'), notes })
    })
  },
}

function partsOf(text: string | null): Answer<{ parts?: ReportPart[] }> {
  if (text === null) return good({})
  const names = text.split(',').map((name) => name.trim())
  const unknown = names.find((name) => !reportParts.some((part) => part === name))
  if (unknown !== undefined)
    return refuse(
      'unknownPart',
      `‘${unknown}’ is no part of a report. The parts are ${reportParts.join(', ')}.`,
      {
        column: 'parts',
      },
    )
  return good({ parts: names as ReportPart[] })
}

function makeFolder(folder: string): Answer<void> {
  try {
    mkdirSync(folder, { recursive: true })
    return good(undefined)
  } catch (error) {
    return refuse('cannotWrite', `The folder ${folder} cannot be made: ${(error as Error).message}.`)
  }
}
