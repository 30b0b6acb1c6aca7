import { lotMargin } from '../../shared/model/lot-margin.ts'
import { compareGroups } from '../../shared/model/lots.ts'
import { isThickness } from '../../shared/model/over-days.ts'
import { sessionColumn } from '../../shared/model/same-session.ts'
import { columnNamed } from '../../shared/model/table.ts'
import { good } from '../../shared/problem.ts'
import { comparisonText } from './compare-tables.ts'
import { modelGrammar } from './fit.ts'
import { fileOptions, taker } from './options.ts'
import { type FileTable, readTable } from './table-file.ts'
import { inWords, type Verb } from './verb.ts'

/** `evenfilm compare`: the curves of groups, such as resist lots, against each other. */
export const compare: Verb = {
  name: 'compare',
  summary: 'compares groups’ curves: the same, parallel, shifted by how much',
  operands: ['FILE'],
  options: {
    model: { value: '"log(thickness) ~ log(speed)"', help: 'the curve of one group', required: true },
    by: { value: 'COLUMN', help: 'what tells the groups apart (lot)' },
    target: { value: 'VALUE', help: 'the response at which shifts and speeds are given' },
    margin: { value: '1%', help: 'largest difference from the first group that counts as equal' },
    tolerance: { value: 'VALUE', help: 'of the target; without --margin a third of it is the margin' },
    step: { value: 'NUMBER', help: 'what the coater can be set to: speeds are rounded to it as well' },
    ...fileOptions,
  },
  more: [
    'Ratios are to the first group in order of appearance. Equivalence is judged by two one-sided tests at 0.05',
    'for groups coated in one session (column session). Where there is such a column, sessions and visits to the plate',
    '(column plateVisit) have variances: what groups share in a session cancels in their shift.',
    '',
    modelGrammar,
  ].join('\n'),
  async run(given) {
    const { problems, number, share } = taker(given)
    const target = number('target', {}, null)
    const tolerance = number('tolerance', { above: 0 }, null)
    const step = number('step', { above: 0 }, null)
    const stated = share('margin', null)
    const margin =
      stated ?? (tolerance === null ? null : lotMargin({ targetNm: target, toleranceNm: tolerance }).margin)
    if (tolerance !== null && target === null)
      problems.push({
        code: 'missingOption',
        message: '--tolerance needs --target: the margin is a share of it.',
        column: 'target',
      })
    if (problems.length > 0) return { ok: false, problems }
    const file = readTable(given)
    if (!file.ok) return file
    const by = file.value.column(given.text('by') ?? 'lot')
    if (!by.ok) return by
    const { table } = file.value
    const model = given.text('model') ?? ''
    const compared = compareGroups({
      table,
      model,
      by: by.value.name,
      target,
      margin,
      speedStep: step,
      ...(columnNamed(table, sessionColumn) ? { overDays: { thickness: isThickness(model) } } : {}),
    })
    if (!compared.ok) return file.value.atItsRow(compared)
    const { problems: found, ...json } = compared.value
    return good({
      exit: 0,
      json,
      text: comparisonText(compared.value, {
        by: by.value.name,
        margin,
        corrects: correctsWith(file.value),
        logarithmic: model.trimStart().startsWith('log('),
      }),
      notes: [...file.value.notes, ...found.map((problem) => inWords(file.value.problemAtItsRow(problem)))],
    })
  },
}

/** What the shift is corrected with, as a heading. */
function correctsWith({ table }: FileTable): string {
  return table.columns.some(({ name }) => name === 'speed' || name === 'rpm') ? 'speed' : 'setting'
}
