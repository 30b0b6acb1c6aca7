import type { Scatter } from '../../shared/contract/results/scatter.ts'
import { scatterLevelWords } from '../../shared/film/scatter-words.ts'
import { type Answer, good } from '../../shared/problem.ts'
import { filmText } from './film-tables.ts'
import type { Given } from './options.ts'
import { type Cell, digits, numeric, percent, printTable } from './print.ts'
import { studyNamed, withEngine } from './study.ts'
import { inWords, type Outcome } from './verb.ts'

/** The films of a study as a database keeps them, and where their scatter comes from. */
export function filmsOfStudy(given: Given): Promise<Answer<Outcome>> {
  return withEngine<Outcome>(given.text('data') ?? '', { mayBeNew: false }, async (call) => {
    const study = await studyNamed(call, given.operands[0] ?? '')
    if (!study.ok) return study
    const studyId = study.value
    const runs = await call('bench.runs', { studyId })
    if (!runs.ok) return runs
    const substrates = runs.value.flatMap(({ film }) => (film ? [film] : []))
    const found = await call('fits.scatter', { studyId })
    const scatter = found.ok ? found.value : null
    const problems = found.ok ? found.value.problems : found.problems
    return good({
      exit: 0 as const,
      json: { substrates, scatter, ...(found.ok ? {} : { problems }) },
      text: [filmText(substrates, 'nm'), ...(scatter ? [scatterText(scatter)] : [])].join('\n\n'),
      notes: problems.map(inWords),
    })
  })
}

function scatterText({ components, more, now, sentence, after, model }: Scatter): string {
  const table = printTable(
    ['between', numeric('sd'), numeric('from'), numeric('to'), numeric('df'), numeric('of a mean')],
    components.map((one): Cell[] => {
      const read = one.source === 'readings'
      return [
        `${scatterLevelWords[one.level].many}${read ? '' : ' (the gauge’s page)'}`,
        percent(one.standardDeviation, 3),
        read ? percent(one.lower, 3) : null,
        read ? percent(one.upper, 3) : null,
        one.df === null ? null : digits(one.df, 3),
        percent(one.shareOfMean),
      ]
    }),
  )
  const steps = printTable(
    ['with', numeric('u of a mean')],
    [
      ['as it is usually read', percent(now.standardUncertainty, 3)],
      ...more.map(({ level, count, standardUncertainty }): Cell[] => [
        `${count} ${scatterLevelWords[level].many}`,
        percent(standardUncertainty, 3),
      ]),
    ],
  )
  const what = after === 'settings' ? 'the means of equal settings' : `the model ${model}`
  return `Where the scatter comes from, after ${what} and the shape of each wafer, as shares of the film:\n${table}\n\n${sentence}\n\n${steps}`
}
