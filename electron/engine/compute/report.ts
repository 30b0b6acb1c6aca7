import type { KeptRecipe } from '../../../shared/contract/recipes.ts'
import type { Stage, Study } from '../../../shared/contract/things.ts'
import { codeSettings } from '../../../shared/design/code.ts'
import { usualTerms } from '../../../shared/design/design-terms.ts'
import { curvedIn } from '../../../shared/design/draw-design.ts'
import { evaluateDesign } from '../../../shared/design/evaluate.ts'
import { termsOfFormula } from '../../../shared/design/formula-terms.ts'
import { type RecipeDriftInput, watchRecipe } from '../../../shared/drift/watch-recipe.ts'
import { type ScatterInput, whereScatterComesFrom } from '../../../shared/film/scatter.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import type { ReportData, StageEvaluation } from '../../../shared/report/report-data.ts'
import { doubtsOfFit } from './doubts.ts'
import type { RecordedSession } from './recorded-doubt.ts'
import { fitOfReport, otherFitOfReport, type ReportFitInput } from './report-fit.ts'
import type { OverDaysInput } from './study-data.ts'

export type ReportInput = {
  /** What the database says. */
  facts: Omit<ReportData, 'fit' | 'fitProblems' | 'otherFits' | 'evaluations' | 'drift'>
  fit: ReportFitInput
  /** Models suggested for each response beside the thickness; none unless the report shows them. */
  otherFits: { response: string; candidates: OverDaysInput[] }[]
  sessions: RecordedSession[]
  scatter: ScatterInput
  watched: { recipe: KeptRecipe; input: RecipeDriftInput }[]
  /** What was written when the data were other ones, in sentences. */
  stale: string[]
}

/** The report as one HTML document. */
export async function documentOfReport(
  input: ReportInput,
): Promise<Answer<{ text: string; stale: string[] }>> {
  // What draws charts is read when the first report is asked for, and not by every thread.
  const { reportDocument } = await import('../../../shared/report/document.ts')
  const { facts } = input
  const found = fitOfReport(input.fit)
  const fitted = found.ok ? found.value : null
  const wanted = new Set(facts.items.flatMap((item) => (item.kind === 'part' ? [item.part] : [])))
  const doubts =
    fitted && wanted.has('checks')
      ? doubtsOfFit({ ...fitted.input, response: 'thickness', sessions: input.sessions })
      : null
  const scatter = fitted && wanted.has('fits') ? whereScatterComesFrom(input.scatter) : null
  const text = reportDocument({
    ...facts,
    evaluations: wanted.has('design')
      ? facts.study.stages.flatMap((stage) => evaluationOf(stage, facts))
      : [],
    fit: fitted && {
      ...fitted,
      doubts: doubts?.ok ? doubts.value : null,
      scatter: scatter?.ok ? scatter.value : null,
    },
    fitProblems: found.ok ? [] : found.problems,
    otherFits: input.otherFits.flatMap(
      ({ response, candidates }) => otherFitOfReport(response, candidates) ?? [],
    ),
    drift: input.watched.flatMap(({ recipe, input: watch }) => {
      const answer = watchRecipe(watch)
      return answer.ok ? [{ recipe, watched: answer.value }] : []
    }),
  })
  return good({ text, stale: input.stale })
}

/** What the runs of a planned stage can tell, by the usual model where its design names none. */
function evaluationOf(
  stage: Stage,
  { study, runs }: { study: Study; runs: ReportData['runs'] },
): StageEvaluation[] {
  const { design } = stage
  if (design === null && stage.kind !== 'grid') return []
  const { factors } = study
  const own = runs.filter(({ stageId, state }) => stageId === stage.id && state !== 'dropped')
  const complete = own.every(({ settings }) => factors.every(({ name }) => settings[name] !== undefined))
  const terms =
    design?.model === undefined
      ? good(usualTerms(factors, curvedIn(design?.kind ?? 'full')))
      : termsOfFormula(design.model, factors)
  if (!complete || !terms.ok)
    return [
      {
        stage,
        runs: own.length,
        evaluation: null,
        problem: terms.ok
          ? 'The factors have changed since this stage was planned, so its runs cannot be judged by them.'
          : terms.problems.map(({ message }) => message).join(' '),
      },
    ]
  const evaluation = evaluateDesign({
    factors,
    runs: own.map(({ settings, block, plateVisit }) => ({
      coded: codeSettings(factors, settings),
      block,
      plateVisit,
    })),
    terms: terms.value,
    ...(design === null ? {} : { power: design.power }),
    ...(design?.varianceRatio === undefined ? {} : { varianceRatio: design.varianceRatio }),
  })
  return [{ stage, runs: own.length, evaluation, problem: '' }]
}

/** The fit that a report shows, for its terms as a file. */
export const fitForTerms = (input: ReportFitInput) => {
  const found = fitOfReport(input)
  return found.ok ? good(found.value && { ...found.value, input: null }) : found
}
