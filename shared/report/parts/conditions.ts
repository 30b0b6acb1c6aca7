import { plainNumber, quantity } from '../../charts/format.ts'
import { sizeInWords } from '../../film/substrate.ts'
import { checkProgram, toolsOf } from '../../process/check-program.ts'
import { surfaceOf } from '../../process/plate-offset.ts'
import { readingStageWords } from '../../words.ts'
import { facts, paragraph, table, warning } from '../blocks.ts'
import type { Html } from '../html.ts'
import type { ReportData } from '../report-data.ts'

const known = (value: number | null, unit: string) =>
  value === null ? '–' : quantity(plainNumber(value), unit)

/** What the substrate is called, its size and how its mark lies, unless the name says that already. */
function substrateWords(name: string, size: string, mark: string): string {
  return [name, size, name.includes(mark) ? '' : mark].filter(Boolean).join(', ')
}

/** Under what the films were made and read: substrate, program, bake, room, plate. */
export function conditions(data: ReportData): (Html | null)[] {
  const { study } = data
  const mark = { flat: 'flat down', notch: 'notch down', rectangle: '' }[study.substrateShape]
  const { hotPlate, bakeTemperature, bakeTime } = study
  const surface =
    hotPlate === null
      ? 'surface not known'
      : `${plainNumber(surfaceOf(hotPlate, bakeTemperature))} °C at the surface`
  const check = checkProgram({
    ...toolsOf(study),
    segments: study.program,
    bake: { temperature: bakeTemperature, time: bakeTime },
  })
  return [
    facts([
      ['Substrate', substrateWords(study.substrate, sizeInWords(study), mark)],
      ['Bake', `${plainNumber(bakeTemperature)} °C on the display (${surface}), ${plainNumber(bakeTime)} s`],
      ['Films are read after', readingStageWords[study.readAfter]],
      ['Refractive index of the readings', study.readIndex === null ? '' : plainNumber(study.readIndex)],
      ['Rules of the room', study.roomRules],
    ]),
    table(
      'Segments of the spin program; factors replace its numbers from run to run',
      ['Segment', 'Speed (rpm)', 'Ramp (rpm/s)', 'Time (s)', 'Ramp takes (s)', 'At speed (s)'].map(
        (label) => ({
          label,
          number: true,
        }),
      ),
      check.segments.map(({ to, ramp, time, rampTime, timeAtSpeed }, i) =>
        [i + 1, to, ramp, time, Number(rampTime.toFixed(1)), Number(timeAtSpeed.toFixed(1))].map((value) =>
          plainNumber(value),
        ),
      ),
    ),
    ...check.findings.map(({ severity, message }) =>
      severity === 'outside' ? warning(`Outside: ${message}`) : paragraph(`Note: ${message}`),
    ),
    table(
      'Sessions',
      [
        { label: 'Session' },
        { label: 'Day' },
        { label: 'Operator' },
        { label: 'Room', number: true },
        { label: 'Humidity', number: true },
        { label: 'Bottle' },
        { label: 'Note' },
      ],
      data.sessions.map((session) => [
        session.name,
        session.day || '–',
        session.operator || '–',
        known(session.roomTemperature, '°C'),
        known(session.humidity, '%'),
        data.bottles.find(({ id }) => id === session.bottleId)?.name ?? '–',
        session.note,
      ]),
    ),
    table(
      'Visits to the hot plate, where they were noted',
      [
        { label: 'Visit', number: true },
        { label: 'Display', number: true },
        { label: 'Surface as probed', number: true },
        { label: 'Set at' },
        { label: 'Note' },
      ],
      data.plateVisits.map(({ number, display, surface, setAt, note }) => [
        String(number),
        known(display, '°C'),
        known(surface, '°C'),
        setAt || '–',
        note,
      ]),
    ),
  ]
}
