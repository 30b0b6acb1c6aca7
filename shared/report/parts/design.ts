import { fixed, percent, plainNumber, significant } from '../../charts/format.ts'
import type { Factor } from '../../contract/things.ts'
import { count, designKindWords, roleWords } from '../../words.ts'
import { facts, soft, table, warning } from '../blocks.ts'
import { type Html, html } from '../html.ts'
import type { ReportData, StageEvaluation } from '../report-data.ts'
import { moment } from '../shown.ts'

const range = (factor: Factor) =>
  factor.kind === 'categorical'
    ? factor.levelNames.join(', ')
    : `${plainNumber(factor.low ?? 0)} to ${plainNumber(factor.high ?? 0)}${factor.scale === 'log' ? ', log' : ''}`

/** Factors, stages, and what the runs of each planned stage can tell. */
export function design({ study, runs, evaluations }: ReportData): (Html | null)[] {
  if (study.factors.length === 0) return [soft('No plan yet.')]
  return [
    table(
      'Factors',
      [
        { label: 'Factor' },
        { label: 'Sets' },
        { label: 'Unit' },
        { label: 'Range' },
        { label: 'Levels', number: true },
        { label: 'Change' },
      ],
      study.factors.map((factor) => [
        factor.name,
        roleWords[factor.role].label,
        factor.unit || '–',
        range(factor),
        String(factor.kind === 'categorical' ? factor.levelNames.length : factor.levels),
        factor.hardToChange ? 'hard' : 'easy',
      ]),
    ),
    table(
      'Stages',
      [
        { label: 'Stage', number: true },
        { label: 'What' },
        { label: 'Design' },
        { label: 'Planned' },
        { label: 'Runs read', number: true },
      ],
      study.stages.map(({ id, position, title, design: settings, at }) => {
        const own = runs.filter(({ stageId, state }) => stageId === id && state !== 'dropped')
        return [
          String(position),
          title,
          settings === null
            ? '–'
            : `${designKindWords[settings.kind].label}, ${count(settings.replicates, 'replicate')}, ` +
              `${count(settings.centre, 'centre point')}, ${count(settings.blocks, 'block')}, seed ${settings.seed}`,
          moment(at),
          `${own.filter(({ state }) => state === 'measured').length} / ${own.length}`,
        ]
      }),
    ),
    ...evaluations.flatMap(evaluationOf),
  ]
}

function evaluationOf({ stage, runs, evaluation, problem }: StageEvaluation): (Html | null)[] {
  const head = html`<h3>What stage ${stage.position} can tell: ${stage.title}</h3>`
  if (!evaluation) return [head, warning(problem)]
  const { residualDf, pureErrorDf } = evaluation
  const sigma = stage.design?.sigma ?? null
  return [
    head,
    facts([
      ['Judged by the model', evaluation.terms.join(' + ')],
      ['Runs', `${runs}; ${residualDf} degrees of freedom left, ${pureErrorDf} of them from repeats`],
      ['D-efficiency', evaluation.dEfficiency === null ? '–' : `${fixed(evaluation.dEfficiency, 1)} %`],
      [
        'Variance of a prediction',
        evaluation.averagePredictionVariance === null
          ? 'some term cannot be estimated'
          : `${significant(evaluation.averagePredictionVariance, 3)} σ² on average over the region, at most ` +
            `${significant(evaluation.maximumPredictionVariance, 3)} σ²`,
      ],
    ]),
    table(
      'Smallest effects that are found with the power asked for, as coefficients',
      [
        { label: 'Term' },
        { label: 'Effect (σ)', number: true },
        { label: 'Effect', number: true },
        { label: 'Power', number: true },
        { label: 'Judged against' },
      ],
      evaluation.smallestDetectable.map(({ term, effect, power, stratum }) => [
        term,
        effect === null ? '–' : significant(effect, 3),
        effect === null || sigma === null ? '–' : percent(effect * sigma, 2),
        percent(power, 0),
        stratum === 'run' ? 'runs' : 'visits to the plate',
      ]),
    ),
    table(
      'Terms whose estimates hold others too',
      [{ label: 'Term' }, { label: 'With' }],
      evaluation.aliases.map(({ term, with: others }) => [
        term,
        others.map((other) => `${significant(other.coefficient, 3)} · ${other.term}`).join(', '),
      ]),
    ),
  ]
}
