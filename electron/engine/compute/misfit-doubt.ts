import { percent, plainNumber, pWords } from '../../../shared/charts/format.ts'
import type { Settings } from '../../../shared/contract/things.ts'
import { tellingSettings, worstSettings } from '../../../shared/model/doubts/misfit-places.ts'
import { lackOfFit, pureError } from '../../../shared/model/lack-of-fit.ts'
import type { FittedMixed } from '../../../shared/model/mixed.ts'
import { type Doubted, doubtful, type Looked } from './doubted-fit.ts'

/** A telling setting is offered where the two models differ by so many standard deviations of a run. */
const tells = 1

/**
 * Whether the model has the wrong form, in plain words, with the runs that would settle it. Where sessions and visits
 * differ, it is judged within them: repeats of one day lie closer together than settings of several.
 */
export function misfitDoubt({ fitted, found, codesOf, idsOf }: Doubted, days: FittedMixed | null): Looked {
  const within = days?.report().lackOfFitByStratum?.find(({ stratum }) => stratum === 'residual')
  const lack = within ?? lackOfFit(fitted)
  const telling = tellingSettings(fitted, found.data.table)
  const settle = telling && telling.deviations >= tells ? [candidateWords(telling.at)] : []
  if (!lack || lack.p === null) {
    // Repeats on several days or visits tell how those differ, not how runs do.
    const repeated =
      pureError(fitted).df === 0 ? 'No settings were repeated' : 'Too few settings were repeated side by side'
    return {
      notJudged: [
        `${repeated}, so a wrong form of the model cannot be told from scatter. ${
          settle[0] ?? 'Repeat the middle of the range two or three times.'
        }`,
      ],
    }
  }
  if (lack.p >= doubtful)
    return {
      clear: [
        `The model misses the runs by no more than repeats differ${within ? ', within sessions and plate visits' : ''} (${pWords(lack.p)}).`,
      ],
    }
  const worst = worstSettings(fitted).slice(0, 2)
  return {
    doubts: [
      {
        kind: 'lack of fit',
        sentence:
          'The model misses the settings by more than runs at equal settings differ, so its form is wrong somewhere, or the ' +
          'repeats were made too close together.',
        p: lack.p,
        reasons: [
          ...worst.map(
            ({ places, share }) =>
              `Repeat the settings of ${codesOf(places)}: they make up ${percent(share, 0)} of the misfit.`,
          ),
          ...settle,
        ],
        runIds: worst.flatMap(({ places }) => idsOf(places)),
        without: null,
      },
    ],
  }
}

function candidateWords(at: Settings): string {
  const words = Object.entries(at).map(
    ([name, value]) => `${name} ${typeof value === 'number' ? plainNumber(value) : value}`,
  )
  return `A run at ${words.join(', ')} tells most between this model and the same with squares.`
}
