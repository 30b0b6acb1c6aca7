import { plainNumber, significant } from '../../charts/format.ts'
import { asPercent, decisionWords } from '../../model/lot-words.ts'
import { facts, stale, table } from '../blocks.ts'
import type { Html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { moment, shortHash } from '../shown.ts'

/** The resist: its lots with their runs, its bottles, and what was decided of a lot. */
export function lots({ study, runs, bottles, lotDecisions }: ReportData): (Html | null)[] {
  const names = [...new Set([...study.lots, ...runs.flatMap(({ lot }) => lot ?? [])])]
  return [
    facts([['Resist', study.resist]]),
    table(
      'Lots',
      [{ label: 'Lot' }, { label: 'Runs', number: true }, { label: 'Read', number: true }],
      names.map((name) => {
        const own = runs.filter(({ lot }) => lot === name)
        return [name, String(own.length), String(own.filter(({ state }) => state === 'measured').length)]
      }),
    ),
    table(
      'Bottles',
      [
        { label: 'Bottle' },
        { label: 'Lot' },
        { label: 'Opened first' },
        { label: 'Good until' },
        { label: 'Openings', number: true },
        { label: 'About left (mL)', number: true },
      ],
      bottles.map(({ name, lot, openedFirst, expires, openings, restMl }) => [
        name,
        lot || '–',
        openedFirst || '–',
        expires || '–',
        String(openings),
        restMl === null ? '–' : plainNumber(Math.round(restMl)),
      ]),
    ),
    ...lotDecisions
      .filter((each) => each.stale)
      .map(({ lot, at }) =>
        stale(
          `The decision on lot ${lot} of ${moment(at)} was signed on other data than those of this report.`,
        ),
      ),
    table(
      'Signed decisions on lots, newest first',
      [
        { label: 'Date' },
        { label: 'Lot' },
        { label: 'Decision' },
        { label: 'Shift (interval)' },
        { label: 'Margin', number: true },
        { label: 'Signed by' },
        { label: 'Reason' },
        { label: 'Data' },
      ],
      lotDecisions.map(({ at, lot, against, decision, numbers, who, why, dataHash }) => [
        at.slice(0, 10),
        `${lot} against ${against}`,
        decisionWords[decision],
        `${asPercent(numbers.ratio)} (${asPercent(numbers.lower)} to ${asPercent(numbers.upper)})`,
        numbers.margin === null ? '–' : `±${significant(100 * numbers.margin, 2)} %`,
        who,
        why,
        shortHash(dataHash),
      ]),
    ),
  ]
}
