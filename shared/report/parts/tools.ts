import { plainNumber, quantity } from '../../charts/format.ts'
import type { Gauge } from '../../contract/tools.ts'
import { offsetInWords } from '../../process/plate-offset.ts'
import { fromNanometres } from '../../units.ts'
import { facts, table } from '../blocks.ts'
import type { Html } from '../html.ts'
import type { ReportData } from '../report-data.ts'

const confirmed = (tool: { limitsConfirmed: boolean }) =>
  tool.limitsConfirmed ? 'limits confirmed' : 'limits not confirmed'

/** Coater, chuck, hot plate and gauge, with where the gauge's numbers come from. */
export function tools({ study }: ReportData): (Html | null)[] {
  const { coater, chuckMm, hotPlate, gauge } = study
  return [
    facts([
      [
        'Coater',
        coater
          ? `${coater.name}: up to ${plainNumber(coater.maxSpeed)} rpm in steps of ${plainNumber(coater.speedStep)}; the time ` +
            `of a segment ${coater.rampInside ? 'includes its ramp' : 'starts after its ramp'}; ${confirmed(coater)}`
          : '',
      ],
      ['Chuck', chuckMm === null ? '' : `${plainNumber(chuckMm)} mm`],
      ['Hot plate', hotPlate ? `${hotPlate.name}: ${offsetInWords(hotPlate)}; ${confirmed(hotPlate)}` : ''],
      [
        'Gauge',
        gauge ? (gauge.name.toLowerCase() === gauge.kind ? gauge.name : `${gauge.name}, ${gauge.kind}`) : '',
      ],
    ]),
    gauge && gaugeTable(gauge, study),
  ]
}

function gaugeTable(
  { repeatability, reload, calibration, origins }: Gauge,
  { thicknessUnit }: ReportData['study'],
): Html | null {
  const row = (name: string, value: string | null, origin: keyof typeof origins) => {
    const from = origins[origin]
    const df = from === null ? '' : from.df === null ? 'infinitely many' : plainNumber(from.df)
    return [name, value ?? 'not known', value === null ? '' : from?.from || 'typed', df]
  }
  const length = (valueNm: number | null) =>
    valueNm === null ? null : quantity(plainNumber(fromNanometres(valueNm, thicknessUnit)), thicknessUnit)
  return table(
    'What the gauge scatters, as standard deviations',
    [
      { label: 'Of what' },
      { label: 'Value', number: true },
      { label: 'Where it comes from' },
      { label: 'Degrees of freedom', number: true },
    ],
    [
      row('One reading, repeated at one site', length(repeatability), 'repeatability'),
      row('Loading a substrate again', length(reload), 'reload'),
      row(
        'Calibration, of all that it reads',
        calibration === null ? null : `${plainNumber(100 * calibration)} %`,
        'calibration',
      ),
    ],
  )
}
