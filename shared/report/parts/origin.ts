import { facts, soft } from '../blocks.ts'
import type { Html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { moment } from '../shown.ts'

/** By what the numbers of this report can be had again: hashes of the data, versions of the program. */
export function origin({ hashes, versions, writtenAt, fit, study }: ReportData): (Html | null)[] {
  return [
    facts([
      ['All data of the study', `SHA-256 ${hashes.study}`],
      ['Data as the fits see them', `SHA-256 ${hashes.data}`],
      ...(fit ? [['Data of the fit shown', `SHA-256 ${fit.dataHash}`] as const] : []),
      ['Runs as CSV', `SHA-256 ${hashes.runsCsv}`],
      ['Readings as CSV', `SHA-256 ${hashes.readingsCsv}`],
      ['Program', `Evenfilm ${versions.program}`],
      ['Database', `version ${versions.database}, SQLite ${versions.sqlite}`],
      ['Run by', `Node ${versions.node}`],
      ['Study begun', moment(study.createdAt)],
      ['Study last changed', moment(study.changedAt)],
      ['Report written', moment(writtenAt)],
    ]),
    soft(
      'The first hash is the same wherever the study is, and evenfilm verify holds the study against it. Those of the two ' +
        'files are of the files that the program saves from these data.',
    ),
  ]
}
